/* The form of a measurement on the phone: what is typed becomes a body of evidence, or comes back with what is wrong or
   in doubt. Nothing typed is changed or lost; a value beyond what is usual is asked back once, for exactly that text. */
import { readingUncertainty, valueAndBound } from "./accuracy.js";
import { clockNow } from "./clock.js";
import { typedFigure, unitOf } from "./figures.js";
import { momentIn } from "./say.js";
import { InputError, parse } from "./typed.js";

const LONGEST_TEXT = 200;
const ROOM_OF_CLOCKS = 2 * 60000; // ms
const LONGEST_SERIES = 3 * 86400; // s
const NOT_APPLICABLE = "does not apply here", NOT_GOOD = "not as it should be";

/** Return {errors, doubts, entry} of a filled form. `asked` = {line, way, steps, units, zone, startedAt, former, instruments}. */
export function readForm(form, asked) {
  const data = new FormData(form);
  const text = (name) => String(data.get(name) ?? "");
  const found = { errors: {}, doubts: [], cells: {} };
  for (const step of asked.steps.filter((one) => !mayBeLeftOut(one, asked, text))) {
    for (const cell of step.cells) readCell(cell, asked, text, found);
  }
  refuseNothingAtAll(asked, text, found);
  const answer = readAnswer(asked, text, found);
  const at = readTimes(form, asked, text, found);
  if (asked.isReplacing && !text("reason").trim()) found.errors.reason = "Say why it is replaced.";
  const entry = { ...answer, at, note: text("note").trim(), reason: text("reason").trim(), fromPaper: data.has("from_paper") };
  return { errors: found.errors, doubts: found.doubts, entry: { ...entry, readings: readingsOf(asked, text, found, at) } };
}

const inputOf = (asked, name) => asked.way.inputs.find((one) => one.name === name);

// A row with a name may be empty where the site has no such part, as long as another one is filled.
function mayBeLeftOut(step, { line, steps }, text) {
  const isNamed = (one) => one.cells.some((cell) => cell.label);
  if (line.check.repeat.shape !== "rows" || !isNamed(step) || !steps.some((one) => one !== step && isNamed(one))) return false;
  return step.cells.every((cell) => !text(cell.name).trim());
}

function readCell(cell, asked, text, found) {
  const input = inputOf(asked, cell.input);
  const typed = text(cell.name).trim();
  if (!typed && input.optional) return;
  if (input.options.length) {
    if (!input.options.some(([value]) => value === typed)) found.errors[cell.name] = "Choose one.";
    return;
  }
  if (typed.length > LONGEST_TEXT) {
    found.errors[cell.name] = "That is too long for a number. Type digits, with a point if needed: 12.5";
    return;
  }
  parseCell(cell, input, typed, asked, text, found);
}

function parseCell(cell, input, typed, asked, text, found) {
  const sign = text(`sign-${cell.name}`);
  const isSigned = [">", "<", "≥", "≤"].some((one) => typed.startsWith(one));
  const signed = [">", "<"].includes(sign) && typed && !isSigned ? `${sign} ${typed}` : typed;
  const units = asked.units[input.quantity];
  const code = text(`unit-${input.name}`) || units[0].code;
  const instrument = instrumentOf(asked, text, input);
  try {
    const entry = parse(signed, code, input.quantity, units, { hard: input.hard, soft: input.soft, bounds: input.may_be_bound });
    if (!valueAndBound(entry, instrument, units)) throw new InputError("Type the end of the instrument's range, and choose “more than”.");
    found.cells[cell.name] = entry;
    if (entry.doubt) found.doubts.push(doubtOf(cell, input, entry, typed, units));
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    found.errors[cell.name] = error.message;
  }
}

const instrumentOf = ({ instruments }, text, input) => instruments.find((one) => one.id === text(`instrument-${input.name}`));

function doubtOf(cell, input, entry, sent, units) {
  const shown = typedFigure(entry.typed, unitOf(units, entry.unit));
  const cure = entry.cure && { name: cell.name, sent, text: entry.cure.text, unit: entry.cure.unit, unitName: `unit-${input.name}`, label: `${entry.cure.label} instead` };
  return { name: cell.name, shown, words: entry.doubt.replace(`${shown}? `, ""), cure };
}

/** Return what the answer "it is right" holds for: every text that is asked back, with its unit. */
export const rightToken = (doubts) => doubts.map((one) => `${one.name}=${one.shown}`).join(";");

function refuseNothingAtAll({ steps }, text, found) {
  const cells = steps.flatMap((step) => step.cells);
  if (cells.length && !cells.some((cell) => text(cell.name).trim() || found.errors[cell.name])) found.errors[cells[0].name] = "Type a number.";
}

function readAnswer({ line }, text, found) {
  if (line.check.kind !== "observed") return { answer: "" };
  const answer = text("answer"), note = text("note").trim();
  if (!answer) found.errors.answer = "Choose one of the three.";
  if (answer === NOT_APPLICABLE && !note) found.errors.note = "Say why it does not apply here.";
  if (answer === NOT_GOOD && !note) found.errors.note = "Say what is not as it should be.";
  return { answer };
}

// times: wall times of this phone, each with its offset; what they are worth is said by the clock beside the item

const WALL = () => clockNow().wall;

/** Return a moment as this phone's wall time with its offset. */
export function wallOf(moment) {
  const offset = -moment.getTimezoneOffset();
  const size = Math.abs(offset);
  const two = (number) => String(number).padStart(2, "0");
  const local = new Date(moment.getTime() + offset * 60000).toISOString().slice(0, -1);
  return `${local}${offset < 0 ? "-" : "+"}${two(Math.floor(size / 60))}:${two(size % 60)}`;
}

function readTimes(form, asked, text, found) {
  const now = new Date(WALL());
  let at = asked.former?.at ?? (form.dataset.firstSent ? new Date(form.dataset.firstSent) : now);
  if (text("read_at")) at = picked(text("read_at"), now, asked, found) ?? now;
  if (asked.line.check.repeat.shape === "timed" && asked.way.inputs.length) at = began(now, asked, text, found) ?? now;
  return at;
}

function picked(typed, now, { zone, startedAt }, found) {
  const moment = momentIn(typed, zone);
  if (!moment) found.errors.read_at = "Give day and time as 2027-04-14T10:44, or leave it empty.";
  else if (moment - now > ROOM_OF_CLOCKS) found.errors.read_at = "That time has not come yet.";
  else if (new Date(startedAt) - moment > 60000) found.errors.read_at = "That is before this visit began.";
  return moment;
}

function began(now, asked, text, found) {
  const started = byCount(text("elapsed"), now) ?? byClock(text("started"), now, asked.zone);
  if (!started) {
    found.errors.started = "Press start when you begin, or type the time at which you began.";
    return null;
  }
  for (const step of asked.steps.filter((one) => one.minute && one.cells.length)) {
    const due = new Date(started.getTime() + step.minute * 60000);
    if (due - now > ROOM_OF_CLOCKS) found.errors[step.cells[0].name] ??= `Not before ${due.toTimeString().slice(0, 5)}: its minute has not come.`;
  }
  return started;
}

function byCount(text, now) {
  const seconds = Number.parseInt(text, 10);
  return seconds >= 0 && seconds <= LONGEST_SERIES ? new Date(now - seconds * 1000) : null;
}

function byClock(text, now, zone) {
  if (!/^\d\d:\d\d(:\d\d)?$/.test(text.trim())) return null;
  const today = new Intl.DateTimeFormat("sv-SE", { timeZone: zone, dateStyle: "short" }).format(now);
  const moment = momentIn(`${today}T${text.trim()}`, zone);
  return moment && moment - now > ROOM_OF_CLOCKS ? new Date(moment - 86400000) : moment;
}

// readings

function readingsOf(asked, text, found, at) {
  return asked.steps.flatMap((step) => step.cells.map((cell) => readingOf(cell, step, asked, text, found, at))).filter(Boolean);
}

function readingOf(cell, step, asked, text, found, at) {
  const input = inputOf(asked, cell.input);
  const moment = timeOf(cell, step, asked, at);
  const base = { input: cell.input, label: cell.label, ...(moment && { at: moment }) };
  if (input.options.length) {
    const typed = text(cell.name).trim();
    return typed ? { ...base, typed, unit: "", instrument: null } : null;
  }
  const entry = found.cells[cell.name];
  return entry ? { ...base, typed: entry.typed, unit: entry.unit, instrument: text(`instrument-${input.name}`) || null } : null;
}

// A row keeps the time at which it was read, also when it is typed once more beside others.
function timeOf(cell, step, { former, line }, at) {
  const before = former?.readings.find((one) => one.input === cell.input && one.label === cell.label);
  if (before) return before.at;
  if (step.minute !== null && step.minute !== undefined) return wallOf(new Date(at.getTime() + step.minute * 60000));
  return line.check.repeat.shape === "rows" ? wallOf(at) : null;
}

/** Return a stored reading with its value and uncertainty in core units, as the judgement needs it. */
export function inCore(reading, way, units, instruments) {
  const input = way.inputs.find((one) => one.name === reading.input);
  if (!input) return null;
  if (input.options.length) return { ...reading, value: input.options.find(([value]) => value === reading.typed)?.[2] ?? null, u: 0, bound: "" };
  const offered = units[input.quantity];
  const instrument = instruments.find((one) => one.id === reading.instrument);
  const entry = parse(reading.typed, reading.unit, input.quantity, offered, { bounds: input.may_be_bound });
  const { value, bound } = valueAndBound(entry, instrument, offered);
  return { ...reading, value, bound, u: bound ? 0 : readingUncertainty(entry, input, instrument, offered) };
}
