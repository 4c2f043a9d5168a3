/* What this phone says of a measurement made on it: its tables, and what was measured around it. Where there is no table,
   or the record was changed here, the server judges. */
import { ownU, resolve, youngest } from "./conditions.js";
import { inCore } from "./form.js";
import { judge } from "./judge.js";
import { isAfterChange } from "./standing.js";
import { whyLines } from "./why.js";

const OBSERVED = { "as it should be": "within", "not as it should be": "outside" };
const CHANGED = "the record was changed on this phone: the server will judge";

/** Return {verdict, findings, at} of a line with a measurement made here, or of one that can be derived; else null. */
export function judgeLine(line, visit) {
  const one = line.measurement;
  if (one?.answer || line.check.kind === "observed") return { verdict: OBSERVED[one.answer] ?? "", findings: [] };
  const pocket = visit.pack.tables?.[line.id];
  if (!pocket) return null;
  return one ? judgeMeasurement(line, one, visit) : derived(line, pocket, visit);
}

/** Return {verdict, findings} of one measurement made here. */
function judgeMeasurement(line, one, visit) {
  const at = (moment) => resolve(line.needs, (name, subject) => seen(visit, name, subject), moment);
  return said(line, readingsOf(line, one, visit), at, secondsOf(one.at), one, visit);
}

function derived(line, pocket, visit) {
  const look = (name, subject) => seen(visit, name, subject);
  const at = youngest(line.needs, look) ?? Date.now() / 1000;
  const conditions = resolve(line.needs, look, at);
  if (Object.values(conditions).some((one) => one.missing) || pocket.seen.length) return null;
  return { ...said(line, [], () => conditions, at, null, visit), at: new Date(1000 * at) };
}

function said(line, readings, at, moment, made, visit) {
  const found = judge(line.check, visit.pack.tables[line.id], readings, at, moment, made?.way ?? "");
  const isChanged = isAfterChange(visit, made);
  const findings = found.findings.map((one) => {
    const unit = unitTyped(readings, one) ?? visit.units[one.quantity][0].code;
    const shown = isChanged ? unjudged({ ...one, unit }) : { ...one, unit };
    return { ...shown, why: whyLines(shown, at(moment), visit.units) };
  });
  return { verdict: isChanged && found.verdict ? "unjudged" : found.verdict, findings };
}

// Limits that rest on the record as it was would mislead.
const unjudged = (one) => ({
  ...one, lower: null, upper: null, nominal: null, basis: "", nearest: null, verdict: one.verdict && "unjudged", reason: CHANGED, unsure: CHANGED,
});

const unitTyped = (readings, one) => readings.find((r) => r.input === one.name && ["", r.label].includes(one.repeat))?.unit || undefined;

const secondsOf = (moment) => moment.getTime() / 1000;

function readingsOf(line, one, visit) {
  const every = { inputs: line.check.ways.flatMap((way) => way.inputs) };
  const found = (one.readings ?? []).map((reading) => inCore(reading, every, visit.units, visit.pack.instruments));
  return found.filter((reading) => reading && reading.value !== null).map((reading) => ({ ...reading, at: reading.at ? Date.parse(reading.at) / 1000 : secondsOf(one.at) }));
}

/** Return what was measured on an owed check and still counts, oldest first: by the pack, and on this phone. */
function seen(visit, name, subject) {
  const line = visit.byId.get(`${name}:${subject}`);
  const pocket = visit.pack.tables?.[`${name}:${subject}`];
  if (!line || !pocket) return [];
  const gone = new Set(line.replaced.map(({ was }) => was.id));
  const before = pocket.seen.filter((one) => !gone.has(one.id)).map(({ at, findings }) => ({ at, findings: findings.map(([finding, repeat, value, spread, own]) => ({ name: finding, repeat, value, spread, own })) }));
  const here = [...line.earlier, ...(line.measurement ? [line.measurement] : [])].filter((one) => one.isLocal && !gone.has(one.id));
  return [...before, ...here.map((one) => measuredHere(line, one, visit))].sort((a, b) => a.at - b.at);
}

function measuredHere(line, one, visit) {
  one.findings ??= judgeMeasurement(line, one, visit).findings;
  return { at: secondsOf(one.at), findings: one.findings.map((finding) => ({ ...finding, own: ownU(finding.terms ?? [], line.needs) })) };
}
