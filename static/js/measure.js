/* The form of a measurement: what is typed survives a reload, the unit beside a field follows its switch,
   and the eye is led to the result. Without this script the form works all the same. */
const OURS = "typed:";

const placeOf = (form) => `${OURS}${location.pathname}#${form.dataset.measure}`;

function fieldsOf(form) {
  return [...form.elements].filter((one) =>
    one.name && !["hidden", "file", "submit", "button"].includes(one.type) && one.name !== "csrfmiddlewaretoken");
}

function keepTyped(form) {
  const typed = {};
  for (const one of fieldsOf(form)) {
    if (one.type === "radio" || one.type === "checkbox") {
      if (one.checked) typed[one.name] = one.value;
    } else if (one.value) typed[one.name] = one.value;
  }
  try { localStorage.setItem(placeOf(form), JSON.stringify(typed)); } catch { /* no room: the page itself still has it */ }
}

function restoreTyped(form) {
  if (form.querySelector("[aria-invalid], .error, .askback")) return; // what the server sent back is newer
  let typed = {};
  try { typed = JSON.parse(localStorage.getItem(placeOf(form)) || "{}"); } catch { return; }
  for (const one of fieldsOf(form)) {
    if (!(one.name in typed)) continue;
    if (one.type === "radio" || one.type === "checkbox") one.checked = typed[one.name] === one.value;
    else if (!one.value || one.tagName === "SELECT") one.value = typed[one.name];
  }
}

function forgetKept() {
  // A result on the page means that what was typed for it is stored.
  if (!document.getElementById("result")) return;
  const open = document.querySelector("form[data-measure]");
  const here = `${OURS}${location.pathname}#`;
  for (const key of Object.keys(localStorage)) {
    if (key.startsWith(here) && (!open || key !== placeOf(open))) localStorage.removeItem(key);
  }
}

function followUnits(form) {
  for (const shown of form.querySelectorAll("[data-unit-of]")) {
    const chosen = form.querySelector(`input[name="${CSS.escape(shown.dataset.unitOf)}"]:checked`);
    if (!chosen) continue;
    shown.textContent = chosen.parentElement.textContent.trim();
    shown.hidden = false;
  }
}

function start(root) {
  try { forgetKept(); } catch { /* no storage on this phone */ }
  for (const form of root.querySelectorAll("form[data-measure]")) {
    restoreTyped(form);
    followUnits(form);
    form.addEventListener("input", () => { keepTyped(form); followUnits(form); });
    form.dispatchEvent(new CustomEvent("typed:restored", { bubbles: true }));
  }
}

start(document);
document.addEventListener("htmx:load", (event) => {
  if (event.detail.elt.id !== "measurement") return;
  start(event.detail.elt);
  const result = event.detail.elt.querySelector("[data-focus]");
  if (result) { result.focus({ preventScroll: true }); window.scrollTo({ top: 0 }); }
  const fault = event.detail.elt.querySelector(".askback[data-focus], [aria-invalid]");
  if (fault) { fault.focus({ preventScroll: true }); fault.scrollIntoView({ block: "center" }); }
});
