/* A field of the as-built record put right on site. Only what was changed goes out; the rest stays as it stands by then. */
import { typedFigure, unitOf } from "./figures.js";
import { InputError, parse } from "./typed.js";

const LINES = ["maker", "model", "serial"];

/** Return {errors, doubts, change} of the form of one component or run; change is null where nothing differs. */
export function readCorrections(form, visit, text) {
  const id = form.dataset.correct;
  const item = visit.pack.as_built.items[id];
  const found = { errors: {}, doubts: [], fields: {} };
  for (const [name, field] of Object.entries(visit.pack.as_built.parts[item.kind])) readField(name, field, { item, visit, text, form }, found);
  const lines = Object.fromEntries(LINES.filter((name) => form.elements[name] && text(name) !== item[name]).map((name) => [name, text(name)]));
  const isChanged = Object.keys(found.fields).length || Object.keys(lines).length;
  const change = isChanged ? { op: "put", sort: item.sort, id, kind: item.kind, ...lines, ...fieldsOf(found.fields, item, form.elements.mistyped.checked) } : null;
  return { errors: found.errors, doubts: found.doubts, change };
}

// What was only typed wrongly makes nothing owed again; what was moved or replaced may.
function fieldsOf(fields, item, isMistyped) {
  if (!Object.keys(fields).length) return {};
  const was = Object.fromEntries(Object.keys(fields).filter((name) => name in item.plate && fields[name] !== null).map((name) => [name, item.plate[name]]));
  return { fields, ...(isMistyped && Object.keys(was).length && { was }) };
}

function readField(name, field, { item, visit, text, form }, found) {
  const input = `plate-${name}`;
  if (!form.elements[input]) return;
  const typed = text(input), before = item.plate[name];
  const isMeasured = ["measure", "number"].includes(field.kind);
  const unit = text(`${input}-unit`) || before?.unit;
  if (isSame(before, typed, isMeasured, unit)) return;
  if (!typed) found.fields[name] = null;
  else if (!isMeasured) found.fields[name] = typed;
  else readNumber(name, field, typed, unit, visit.units[field.quantity], found);
}

function isSame(before, typed, isMeasured, unit) {
  if (!isMeasured) return (before ?? "") === typed;
  return (before?.typed ?? "") === typed && (!typed || !before?.unit || before.unit === unit);
}

function readNumber(name, field, typed, chosen, units, found) {
  const code = chosen || units[0].code;
  const input = `plate-${name}`;
  try {
    const entry = parse(typed, code, field.quantity, units, { hard: field.hard, soft: field.soft });
    if (field.whole && entry.value % 1) throw new InputError("Type a whole number.");
    found.fields[name] = field.kind === "number" ? { typed: entry.typed } : { typed: entry.typed, unit: code };
    if (entry.doubt) found.doubts.push(doubtOf(input, entry, units));
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    found.errors[input] = error.message;
  }
}

function doubtOf(input, entry, units) {
  const shown = typedFigure(entry.typed, unitOf(units, entry.unit));
  const cure = entry.cure && { name: input, text: entry.cure.text, unit: entry.cure.unit, unitName: `${input}-unit`, label: `${entry.cure.label} instead` };
  return { name: input, shown, words: entry.doubt.replace(`${shown}? `, ""), cure };
}

/** Show on the record's page and in the forms what was put right on this phone. */
export function drawRecord(visit) {
  const form = document.querySelector("form[data-correct]");
  const mine = visit.corrections.flatMap((one) => one.changes);
  if (form) fillIn(form, mine.filter((one) => one.id === form.dataset.correct));
  else if (mine.length) note(visit, mine);
}

function fillIn(form, changes) {
  for (const { fields = {}, ...lines } of changes) {
    for (const [name, value] of Object.entries(fields)) {
      form.elements[`plate-${name}`].value = value?.typed ?? value ?? "";
      if (value?.unit && form.elements[`plate-${name}-unit`]) form.elements[`plate-${name}-unit`].value = value.unit;
    }
    for (const name of LINES) if (name in lines && form.elements[name]) form.elements[name].value = lines[name];
  }
}

function note(visit, changes) {
  const tags = [...new Set(changes.map((one) => visit.pack.as_built.items[one.id]?.tag ?? ""))].join(", ");
  const words = document.createElement("p");
  words.className = "kept";
  words.textContent = `Put right on this phone: ${tags}. The figures below are those from before; the server judges on the new ones.`;
  document.querySelector(".head").after(words);
}
