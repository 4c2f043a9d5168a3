/* Times and lines in words, as commissioning/visits/times.py and sections.py say them. `zone` is that of the site. */
import { EM_DASH, NO_BREAK, figure, figureParts, plusMinus, span, typedFigure, unitOf } from "./figures.js";

const MINUTE = 60, HOUR = 60 * MINUTE, DAY = 24 * HOUR; // s
const SHORT = 32; // characters of a state that still fit beside a subject on a phone

const formats = new Map();

function partsIn(moment, zone) {
  if (!formats.has(zone)) formats.set(zone, formatIn(zone));
  const found = formats.get(zone).formatToParts(moment);
  return Object.fromEntries(found.map(({ type, value }) => [type, value]));
}

function formatIn(zone) {
  const wanted = { year: "numeric", month: "long", day: "numeric", weekday: "short", hour: "2-digit", minute: "2-digit", second: "2-digit", hourCycle: "h23" };
  try {
    return new Intl.DateTimeFormat("en-GB", { ...wanted, timeZone: zone });
  } catch {
    return new Intl.DateTimeFormat("en-GB", { ...wanted, timeZone: "UTC" }); // a zone that this phone does not know
  }
}

/** Return the time of day: 10:44. */
export const clock = (moment, zone) => {
  const at = partsIn(moment, zone);
  return `${at.hour}:${at.minute}`;
};

/** Return the day in full: Wed 14 April 2027. */
export function day(moment, zone) {
  const at = partsIn(moment, zone);
  return `${at.weekday} ${at.day} ${at.month} ${at.year}`;
}

/** Return the time of day, and the day where it is not today. */
export function clockAndDay(moment, zone, now = new Date()) {
  const at = partsIn(moment, zone), today = partsIn(now, zone);
  if (["year", "month", "day"].every((name) => at[name] === today[name])) return clock(moment, zone);
  return `${at.day} ${at.month}${at.year === today.year ? "" : ` ${at.year}`}, ${clock(moment, zone)}`;
}

/** Return day and time for a text that is signed: 2027-04-14 10:44. */
export function signedTime(moment, zone) {
  const at = partsIn(moment, zone);
  const month = new Date(`${at.month} 1, 2000`).getMonth() + 1;
  return `${at.year}-${String(month).padStart(2, "0")}-${at.day.padStart(2, "0")} ${at.hour}:${at.minute}`;
}

/** Return the moment of a wall time "2027-04-14T10:44[:05]" in a zone; null where it is none. */
export function momentIn(text, zone) {
  if (!/^\d{4}-\d\d-\d\dT\d\d:\d\d(:\d\d)?$/.test(text)) return null;
  const asUtc = Date.parse(`${text}${text.length === 16 ? ":00" : ""}Z`);
  if (Number.isNaN(asUtc)) return null;
  const once = asUtc - offsetAt(asUtc, zone);
  return new Date(asUtc - offsetAt(once, zone));
}

// What a zone's clocks are ahead of UTC at a moment [ms].
function offsetAt(moment, zone) {
  const at = partsIn(new Date(moment), zone);
  const month = new Date(`${at.month} 1, 2000`).getMonth();
  return Date.UTC(at.year, month, at.day, at.hour, at.minute, at.second) - Math.floor(moment / 1000) * 1000;
}

const counted = (many, noun) => `${many} ${noun}${many === 1 ? "" : "s"}`;

/** Return in words how long ago a moment was. */
export function ago(moment, now = new Date()) {
  const seconds = Math.max((now - moment) / 1000, 0);
  if (seconds < MINUTE) return "just now";
  if (seconds < 2 * HOUR) return `${counted(Math.round(seconds / MINUTE), "minute")} ago`;
  if (seconds < 2 * DAY) return `${counted(Math.round(seconds / HOUR), "hour")} ago`;
  return `${counted(Math.round(seconds / DAY), "day")} ago`;
}

/** Return a span in words, in the largest unit that leaves a whole number of two or more. */
export function lasting(seconds) {
  if (seconds < 2 * HOUR) return counted(Math.max(Math.round(seconds / MINUTE), 1), "minute");
  if (seconds < 2 * DAY) return counted(Math.round(seconds / HOUR), "hour");
  return counted(Math.round(seconds / DAY), "day");
}

export const joined = (...parts) => parts.filter(Boolean).join(" · ");

export const capital = (text) => text.slice(0, 1).toUpperCase() + text.slice(1);

// findings

/** Return a finding in words: value, spread, limits, expected, each with its unit, as the server's pages print it. */
export function findingWords(finding, units) {
  const unit = unitOf(units[finding.quantity], finding.unit) ?? units[finding.quantity][0];
  const { value, spread, bound, lower, upper, nominal } = finding;
  const there = (one) => one !== null && one !== undefined;
  const [text, symbol] = there(value) ? figureParts(value, unit, spread) : [EM_DASH, ""];
  const number = bound && there(value) ? `${bound}${NO_BREAK}${text}` : text;
  return {
    number, symbol,
    value: there(value) && !bound ? figure(value, unit, spread) : `${number} ${symbol}`.trim(),
    spread: spread && !bound ? plusMinus(spread, unit) : "",
    limits: there(lower) || there(upper) ? span(lower, upper, unit) : EM_DASH,
    expected: there(nominal) ? figure(nominal, unit, spread) : EM_DASH,
    unit,
  };
}

/** Return a reading as typed with its unit, or the words that were chosen. */
export function readingWords(reading, input, units) {
  if (!input) return reading.typed;
  if (input.options.length) return input.options.find(([value]) => value === reading.typed)?.[1] ?? reading.typed;
  const unit = unitOf(units[input.quantity], reading.unit);
  return unit ? typedFigure(reading.typed, unit) : reading.typed;
}

// lines of the order of checks

/** Return subject and, where it is short, the state: what a person walks to. */
export const where = (line) => joined(line.words, line.check.state.length <= SHORT && line.check.state);

export const whereAndWhy = (line) => `${line.words} · ${line.first}`;

export const asked = (line, hold) => `${line.words} · asked by this hold${hold.only_settled ? ", cannot be released" : ""}`;

export const rowsWords = (line) => `${line.words} · ${line.rowsLeft} more ${line.rowsLeft === 1 ? "row" : "rows"} owed`;

export function asideWords(line) {
  if (!line.aside) return joined(line.words, line.status, line.measurement?.note);
  return joined(line.words, line.aside.how_words, line.aside.reason, line.aside.by);
}

export function laboratoryWords(line) {
  const sent = line.aside && line.status === "parked" ? line.aside.reason : "";
  return `${line.words} · ${sent || "waits for the laboratory"}`;
}

export function takenWords(line, { units, zone }) {
  const one = line.measurement;
  const found = one.findings ?? [];
  const value = found.length === 1 ? findingWords(found[0], units).value : "";
  return joined(line.words, value, clockAndDay(one.at, zone), one.by);
}

// holds

/** Return how a hold stands, by whom and when, or what is still owed. */
export function standingWords(hold, zone) {
  if (hold.standing === "stands") return `Stands: ${hold.stays_off}. ${owedWords(hold)}`;
  if (hold.standing === "released") return `Released by ${hold.release.by}, ${clockAndDay(new Date(hold.release.at), zone)}: ${hold.release.reason}`;
  const taken = hold.required.map((line) => line.measurement).filter(Boolean);
  if (!taken.length) return "Settled";
  const last = taken.reduce((a, b) => (b.at > a.at ? b : a));
  return `Settled ${clockAndDay(last.at, zone)}, ${last.by}`;
}

/** Return how many of a hold's checks are owed, and how many are taken and not good. */
export function owedWords(hold) {
  const open = hold.stillOwed.filter((line) => !line.measurement).length;
  const bad = hold.stillOwed.length - open;
  const owed = open ? `${open} of ${hold.required.length} still owed` : "None owed";
  const words = bad ? `${owed}, ${bad} taken and not good` : owed;
  const many = hold.not_designed.length;
  return many ? `${words}; the design check: ${many} not met or not known.` : `${words}.`;
}
