/* Which readings a check asks for now: its steps as they came along, or rows that follow on those that are kept; as
   visits/shapes.py. A step is {heading, minute, cells: [{name, input, label}]}. */
import { capital } from "./say.js";

const stepOf = ([heading, minute, cells]) => ({ heading, minute, cells: cells.map(([name, input, label]) => ({ name, input, label })) });

/** Return the steps of a way as they came along: nothing is taken yet. */
export const stepsOf = (line, way) => (line.ways[way.key]?.steps ?? []).map(stepOf);

/** Return the steps of the form that `want` asks for. */
export function stepsNow(line, want) {
  const first = stepsOf(line, want.way);
  if (line.check.repeat.shape !== "rows") return first;
  if (want.isReplacing) return [...first.filter(isOnce), ...labelsOf(line.measurement).map((label, place) => rowOf(line, want.way, place, label))];
  if (!want.addsRow) return first;
  const [place, label] = nextRow(line, new Set(labelsOf(line.measurement)));
  return [rowOf(line, want.way, place, label)];
}

const isOnce = (step) => step.cells.every((cell) => !cell.label);

/** Return the labels of a measurement's rows, in order. */
export const labelsOf = (measurement) => [...new Set((measurement?.readings ?? []).map((one) => one.label).filter(Boolean))];

function nextRow(line, kept) {
  const { labels, noun, by_the_day: isByTheDay } = line.check.repeat;
  const name = (place) => (place < labels.length ? labels[place] : `${noun || "row"} ${place + 1}`);
  const named = isByTheDay ? [] : labels.map((label, place) => [place, label]).filter(([, label]) => !kept.has(label));
  if (named.length) return named[0];
  let place = 0;
  while (kept.has(name(place))) place += 1;
  return [place, name(place)];
}

function rowOf(line, way, place, label) {
  const inputs = way.inputs.filter((one) => one.repeats);
  return { heading: capital(label), minute: null, cells: inputs.map((one) => ({ name: `r-${one.name}-${place}`, input: one.name, label })) };
}

/** Return the fields of one row, drawn after the row that came along; filled with what a former measurement typed. */
export function rowStep(template, step, former) {
  const made = template.content.querySelector("[data-step]").cloneNode(true);
  made.querySelector("h2").textContent = step.heading;
  for (const cell of step.cells) rename(made, `r-${cell.input}-0`, cell, former);
  return made;
}

function rename(made, old, cell, former) {
  for (const one of made.querySelectorAll(`[name="${old}"], [name="sign-${old}"]`)) one.name = one.name.replace(old, cell.name);
  for (const one of made.querySelectorAll(`[id*="${old}"], [for*="${old}"], [aria-describedby*="${old}"]`)) {
    for (const name of ["id", "for", "aria-describedby"]) if (one.hasAttribute(name)) one.setAttribute(name, one.getAttribute(name).replaceAll(old, cell.name));
  }
  fillAsBefore(made, cell, former);
}

/** Write into a field what a former measurement typed there. */
export function fillAsBefore(within, cell, former) {
  const before = former?.readings.find((one) => one.input === cell.input && one.label === cell.label);
  if (!before) return;
  const field = within.querySelector(`input[name="${cell.name}"]:not([type=radio])`);
  if (field) field.value = before.typed.replace(/^[<>=≤≥ ]+/, "");
  const choice = within.querySelector(`input[type=radio][name="${cell.name}"][value="${CSS.escape(before.typed)}"]`);
  if (choice) choice.checked = true;
}
