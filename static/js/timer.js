/* A series at set minutes. The moment of the start is kept on the phone, and what is left is reckoned from the
   clock each time: a reload or a locked phone loses nothing. The form sends how long ago the start was, so that a
   phone whose clock is wrong still gives the right times. Without this script the start is typed. */
const SECOND = 1000;
const placeOf = () => `started:${location.pathname}`;

const two = (n) => String(n).padStart(2, "0");

function span(seconds) {
  const whole = Math.ceil(seconds);
  return whole >= 3600
    ? `${Math.floor(whole / 3600)} h ${two(Math.floor((whole % 3600) / 60))} min`
    : `${Math.floor(whole / 60)} min ${two(whole % 60)} s`;
}

function clockOf(moment) {
  const at = new Date(moment);
  return `${two(at.getHours())}:${two(at.getMinutes())}:${two(at.getSeconds())}`;
}

function read() {
  try { return Number(localStorage.getItem(placeOf())) || 0; } catch { return 0; }
}

function write(moment) {
  try {
    if (moment) localStorage.setItem(placeOf(), String(moment));
    else localStorage.removeItem(placeOf());
  } catch { /* the field on the page still has it */ }
}

function begin(form) {
  const part = form.querySelector("[data-timer]");
  const button = part.querySelector("[data-timer-start]");
  const words = part.querySelector("[data-timer-words]");
  const field = form.querySelector("[data-started]");
  const elapsed = form.querySelector("[name=elapsed]");
  const steps = [...form.querySelectorAll("[data-minute]")];
  let started = read();
  button.hidden = false;

  function tell() {
    button.textContent = started ? "Start anew" : "Start now";
    if (!started) { words.textContent = ""; return; }
    const gone = (Date.now() - started) / SECOND;
    elapsed.value = String(Math.round(gone));
    const coming = steps.find((step) => Number(step.dataset.minute) * 60 > gone);
    words.textContent = coming ? `${span(Number(coming.dataset.minute) * 60 - gone)} to the next reading` : "All minutes have come.";
    for (const step of steps) {
      const left = Number(step.dataset.minute) * 60 - gone;
      const early = left > 0;
      step.classList.toggle("is-early", early);
      for (const one of step.querySelectorAll("input, select")) one.readOnly = early;
      const note = step.querySelector("[data-minute-words]");
      if (note) note.textContent = early ? `at ${clockOf(started + Number(step.dataset.minute) * 60 * SECOND)}, in ${span(left)}` : "read it now, or type what was read";
    }
  }

  button.addEventListener("click", () => {
    if (started && !window.confirm("Start the series anew? The time so far is lost.")) return;
    started = Date.now();
    write(started);
    field.value = clockOf(started);
    tell();
  });
  field.addEventListener("change", () => { started = 0; elapsed.value = ""; write(0); tell(); });
  form.addEventListener("submit", tell);
  if (started && !field.value) field.value = clockOf(started);
  tell();
  const ticking = setInterval(() => (form.isConnected ? tell() : clearInterval(ticking)), SECOND);
  document.addEventListener("visibilitychange", tell);
}

function start(root) {
  const form = root.querySelector("form[data-measure]");
  if (form && form.querySelector("[data-timer]")) begin(form);
  else if (document.getElementById("result")) write(0);
}

start(document);
document.addEventListener("htmx:load", (event) => { if (event.detail.elt.id === "measurement") start(event.detail.elt); });
