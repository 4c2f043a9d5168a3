/* What is wrong with a form, or in doubt, said at its field. What was typed stays. */
import { piece } from "./pieces.js";

const FAILURES = {
  full: "This phone’s storage is full: nothing was kept. Make room on the phone, or write it on paper; what is typed here stays.",
  "photos-full": "There is no room left for photos on this phone: nothing was kept. Keep the reading without the photo, then make room.",
  private: "This browser lets nothing be kept, as in a private window: nothing was kept. Use another window, or paper.",
  nobody: "Nobody is signed in on this phone: nothing was kept. Load the page again.",
};

export function clearErrors(form) {
  for (const old of form.querySelectorAll("[data-phone-error], .askback")) old.remove();
  document.getElementById("refused")?.remove();
  for (const one of form.querySelectorAll("[aria-invalid]")) one.removeAttribute("aria-invalid");
}

/** Show errors by the name of their field; one without a name stands over the form. */
export function showErrors(form, errors) {
  for (const [name, words] of Object.entries(errors)) showError(form, name, words);
  const first = form.querySelector("[aria-invalid]") ?? document.getElementById("refused");
  for (let fold = first?.closest("details"); fold; fold = fold.parentElement.closest("details")) fold.open = true;
  first?.focus({ preventScroll: true });
  first?.scrollIntoView({ block: "center" });
}

function showError(form, name, words) {
  const field = name && form.querySelector(`[name="${CSS.escape(name)}"]`);
  if (!field) {
    form.before(piece("refused", { words }));
    return;
  }
  const made = piece("error", { words });
  made.id = `error-${name}`;
  field.setAttribute("aria-invalid", "true");
  field.setAttribute("aria-describedby", [field.getAttribute("aria-describedby"), made.id].filter(Boolean).join(" "));
  const place = field.closest(".value, .measure") ?? field.closest("fieldset")?.lastElementChild ?? field;
  place.after(made);
}

export function showFailure(form, reason) {
  showErrors(form, { "": FAILURES[reason] ?? "The phone’s book could not be written: nothing was kept. What is typed here stays. Load the page again and keep it then." });
}

/** Ask once: the cure first, then that it is right; each holds for exactly these texts. */
export function askBack(form, doubts, token) {
  const right = doubts.length === 1 ? `${doubts[0].shown} is right, keep it` : "They are right, keep them";
  const made = piece("askback", { doubts: doubts.flatMap((one) => doubtParts(form, one)), right });
  const main = [...form.querySelectorAll("button.full[type=submit]")].at(-1);
  made.querySelector("[data-right]").addEventListener("click", () => {
    form.dataset.right = token;
    form.requestSubmit(main);
  });
  main.before(made);
  main.textContent = "Keep what is typed now";
  main.classList.remove("main");
  made.focus({ preventScroll: true });
  made.scrollIntoView({ block: "center" });
}

function doubtParts(form, { shown, words, cure }) {
  const made = piece("doubt", { shown: `${shown}?`, words, cure: cure?.label });
  made.querySelector("[data-cure]")?.addEventListener("click", () => {
    form.elements[cure.name].value = cure.text;
    const unit = form.querySelector(`input[name="${CSS.escape(cure.unitName)}"][value="${CSS.escape(cure.unit)}"]`);
    if (unit) unit.checked = true;
    else if (form.elements[cure.unitName]) form.elements[cure.unitName].value = cure.unit;
    form.requestSubmit([...form.querySelectorAll("button.full[type=submit]")].at(-1));
  });
  return [...made.children];
}
