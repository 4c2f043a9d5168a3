/* What a measurement needs from others, resolved as commissioning/judging.py does: how old it may be, one before and one
   after, every repeat. Both run the same cases. Moments are Unix time in seconds. */
import { COVERAGE } from "./decide.js";

const SMALL = 3; // half a difference spread evenly: its variance is a third of its square

/** Return {name: {value, u, words} or {missing}} of a check's needs around a moment.

    `seen(name, subject)` gives what was measured there and still counts, oldest first: [{at, findings: [{name, repeat,
    value, spread, own}]}]; `own` is the u that repeats do not share. */
export function resolve(needs, seen, at) {
  const found = needs.flatMap((need) => resolved(need, seen, at).filter(([, one]) => !(need.optional && one.missing)));
  return Object.fromEntries(found);
}

function resolved(need, seen, at) {
  const { name, subject } = need;
  if (!subject) return [[name, { missing: need.problem }]];
  const taken = seen(name, subject);
  if (!taken.length) return [[name, { missing: `${need.label} has not been measured (${subject})` }]];
  if (need.kind === "weather") return [[name, weather(need, taken, at)]];
  if (need.every_repeat) return everyRepeat(need, taken.at(-1));
  return [[name, valueOf(need, taken.at(-1))]];
}

// The nearest before and the nearest after, if young enough.
function weather(need, taken, at) {
  const limit = need.max_age ?? Infinity;
  const near = taken.filter((one) => Math.abs(one.at - at) <= limit);
  if (!near.length) return { missing: `${need.label} was not measured within ${(limit / 60).toFixed(0)} minutes (${need.subject})` };
  const ends = [near.findLast((one) => one.at <= at), near.find((one) => one.at > at)].filter(Boolean);
  const values = ends.map((one) => valueOf(need, one));
  return values.find((one) => one.missing) ?? bracketed(need, values);
}

// Two values: their mean, with half their difference added to the uncertainty.
function bracketed(need, values) {
  if (values.length === 1) return values[0];
  const [first, last] = values;
  const middle = (first.value + last.value) / 2, difference = Math.abs(first.value - last.value);
  if (need.bracket !== null && difference > need.bracket * Math.abs(middle)) {
    return { missing: `${need.label} moved ${((100 * difference) / Math.abs(middle)).toFixed(0)} % between before and after: take it again` };
  }
  return { value: middle, u: Math.hypot(Math.max(first.u, last.u), difference / 2 / Math.sqrt(SMALL)), words: first.words };
}

const isMeant = (need, finding) => finding.value !== null && ["", finding.name].includes(need.finding);

function valueOf(need, one) {
  const found = one.findings.find((finding) => isMeant(need, finding));
  if (!found) return { missing: `${need.label} has no value yet (${need.subject})` };
  return { value: found.value, u: (found.spread ?? 0) / COVERAGE, words: need.label.toLowerCase() };
}

function everyRepeat(need, one) {
  const found = one.findings.filter((finding) => isMeant(need, finding));
  if (!found.length) return [[need.name, { missing: `${need.label} has no value yet (${need.subject})` }]];
  return found.map((finding) => [`${need.name}/${finding.repeat}`, { value: finding.value, u: apart(need, finding), words: `${need.label.toLowerCase()} ${finding.repeat}` }]);
}

// Of repeats of which only differences count, the instrument's gain cancels: what is left is a rectangular half width.
function apart({ apart: of }, finding) {
  return of ? (of[0] * Math.abs(finding.value) + of[1]) / Math.sqrt(SMALL) : finding.own;
}

/** Return the u of a finding without conditions, nameplate and model: what repeats of one check do not share. */
export function ownU(terms, needs) {
  const conditions = new Set(needs.map((need) => need.label.toLowerCase()));
  return Math.hypot(...terms.filter((one) => !one.shared && !conditions.has(one.name)).map((one) => one.u));
}

/** Return when the last measurement was taken on which a derived one rests; null where there is none. */
export function youngest(needs, seen) {
  const found = needs.filter((need) => need.subject).flatMap((need) => seen(need.name, need.subject).slice(-1));
  return found.length ? Math.max(...found.map((one) => one.at)) : null;
}
