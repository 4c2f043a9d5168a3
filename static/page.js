// What every page does beyond htmx: say so when an answer does not come.
"use strict";

function tell(text) {
  const place = document.getElementById("unsent");
  if (!place) return;
  place.textContent = text;
  place.hidden = !text;
  if (text) place.scrollIntoView({ block: "nearest" });
}

document.addEventListener("htmx:sendError", () => tell("No answer from the server. Not sent; what you typed is still in the form."));
document.addEventListener("htmx:timeout", () => tell("No answer from the server. Not sent; what you typed is still in the form."));
document.addEventListener("htmx:responseError", (event) =>
  tell(`The server answered ${event.detail.xhr.status}. Not stored; what you typed is still in the form.`));
document.addEventListener("htmx:afterOnLoad", () => tell(""));
