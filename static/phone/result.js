/* What is shown of a measurement that was kept on this phone: word, picture, window, why; said to be provisional. */
import { keptWords, picture } from "./parts.js";
import { element, link, piece } from "./pieces.js";
import { EM_DASH } from "./figures.js";
import { capital, clock, clockAndDay, findingWords, joined, readingWords } from "./say.js";
import { isAfterChange } from "./standing.js";
import { labelsOf } from "./steps.js";

const PROVISIONAL = "Reckoned here; the server judges again when it is sent.";
const UNKNOWN = "The server judges it when it is sent.";
const CHANGED = "The record was changed on this phone: the server will judge.";

/** Return the parts of the page below the heading. */
export function resultParts(visit, line, want) {
  const one = line.measurement;
  const found = (one.findings ?? []).map((finding) => ({ ...finding, words: findingWords(finding, visit.units) }));
  const isRows = line.check.repeat.shape === "rows";
  const parts = want.addsRow ? [kept(line)] : [answerPart(visit, line, found, isRows)];
  if (isRows) parts.push(rowsPart(visit, line, found));
  if (["outside", "borderline"].includes(line.verdict)) parts.push(piece("button", { url: `${visit.pack.urls.defect}?check=${encodeURIComponent(line.id)}`, words: "Raise a defect" }));
  parts.push(...defectParts(visit, line), ...replacedParts(visit, line), ...baselinePart(visit, line));
  parts.push(...found.flatMap((finding) => whyPart(finding, found)), ...limitsPart(line), ...typedPart(visit, line));
  if (!want.asks || want.addsRow) parts.push(...onPart(visit, line));
  return parts;
}

function kept(line) {
  const made = piece("kept", { words: `Rows kept: ${labelsOf(line.measurement).length}` });
  made.id = "result";
  made.tabIndex = -1;
  return made;
}

function answerPart(visit, line, found, isRows) {
  const one = line.measurement;
  const only = found.length === 1 ? found[0] : null;
  const made = piece("result", {
    answer: one.answer, number: !one.answer && only?.words.number, unit: only?.words.symbol, verdict: one.answer ? "" : line.verdict,
    many: !one.answer && found.length > 1 && `${found.length} values`,
    taken: joined(typedWords(visit, line), only?.words.spread, takenBy(one, visit)),
    differs: differs(line),
    standing: standingWords(line, visit),
    figure: Boolean(only && only.value !== null), picture: only && picture(only, visit.units), expected: only && expectedWords(only),
    reason: only?.reason && `${capital(only.reason)}.`,
    findings: only || isRows ? [] : found.map((finding, n) => findingLine(finding, n + 1, found, visit)),
    missing: [...new Set(found.flatMap((finding) => finding.missing ?? []))].map((words) => `${capital(words)}. `).join(""),
    note: one.note,
  });
  made.querySelector(".reading .verdict")?.classList.add(line.verdict);
  return made;
}

const takenBy = (one, visit) => joined(clockAndDay(one.at, visit.zone), one.by, one.origin_note && `from the ${one.origin_note}`);

function typedWords(visit, line) {
  const { readings, answer } = line.measurement;
  if (answer || !readings.length || readings.length > 3) return "";
  return `Typed ${readings.map((one) => readingWords(one, inputOf(line, one.input), visit.units)).join(", ")}`;
}

export const inputOf = (line, name) => line.check.ways.flatMap((way) => way.inputs).find((one) => one.name === name);

function standingWords(line, visit) {
  if (!line.measurement.isLocal) return "";
  const where = capital(keptWords(line.measurement).replace(" · ", ""));
  if (line.check.kind === "observed") return `${where}.`;
  if (isAfterChange(visit, line.measurement)) return `${where}. ${CHANGED}`;
  return `${where}. ${line.measurement.findings ? PROVISIONAL : UNKNOWN}`;
}

// After sending the page shows the server's own words; the phone's stand beside them only where they differ.
function differs(line) {
  const { shown, isLocal } = line.measurement;
  return !isLocal && shown?.verdict && shown.verdict !== line.verdict ? `The phone showed ${shown.verdict}.` : "";
}

function expectedWords(finding) {
  const { expected, limits, symbol } = finding.words;
  const first = expected !== EM_DASH ? `Expected ${expected}. ` : limits !== EM_DASH ? `Limits ${limits}${symbol && `\u00a0${symbol}`}. ` : "";
  return `${first}${finding.basis ? `${capital(finding.basis)}.` : ""}`;
}

function findingLine(finding, number, all, visit) {
  const isNamed = new Set(all.map((one) => one.name)).size > 1;
  const name = finding.repeat && !isNamed ? capital(finding.repeat) : [finding.label, finding.repeat].filter(Boolean).join(", ");
  const { words } = finding;
  const made = piece("plain-line", {
    number, title: [`${name}: `, element("span", words.value, "number")],
    words: joined(words.spread, words.limits !== EM_DASH && `limits ${words.limits}`, finding.reason),
    result: true, picture: picture(finding, visit.units, true), verdict: finding.verdict,
  });
  made.querySelector(".verdict")?.classList.add(finding.verdict);
  return made;
}

// rows through the day

function rowsPart(visit, line, found) {
  const { readings } = line.measurement;
  const names = [...new Set(readings.filter((one) => one.label).map((one) => one.input))];
  const labels = labelsOf(line.measurement);
  const words = `${labels.length === 1 ? "1 row" : `${labels.length} rows`} kept${owedRows(line, labels)}`;
  const heads = ["Row", "Time", "Result", "Verdict", ...names.map((name) => inputOf(line, name)?.label ?? name)].map((text, n) => {
    const head = element("th", text, n === 2 || n > 3 ? "n" : "");
    head.scope = "col";
    return head;
  });
  return piece("rows", { words, heads, rows: labels.map((label) => rowOf(visit, line, label, names, found)) });
}

function owedRows(line, labels) {
  const owed = Math.max(line.check.repeat.least - labels.length, 0);
  return owed ? `, ${owed} more owed` : "";
}

function rowOf(visit, line, label, names, found) {
  const mine = line.measurement.readings.filter((one) => one.label === label);
  const judged = found.filter((one) => one.repeat === label);
  const verdict = gravest(judged.map((one) => one.verdict));
  const row = document.createElement("tr");
  const head = element("th", line.check.repeat.by_the_day ? label.split(" ").at(-1) : label);
  head.scope = "row";
  const time = clock(new Date(mine[0].at ?? line.measurement.at), visit.zone);
  const cells = names.map((name) => mine.find((one) => one.input === name)).map((one) => (one ? readingWords(one, inputOf(line, one.input), visit.units) : EM_DASH));
  row.append(head, element("td", time), element("td", element("strong", judged.map((one) => one.words.value).join(", ")), "n"),
    element("td", verdict ? element("span", verdict, `verdict ${verdict}`) : ""), ...cells.map((text) => element("td", text, "n")));
  return row;
}

const GRAVITY = ["within", "unjudged", "borderline", "outside"];
const gravest = (verdicts) => GRAVITY[Math.max(...verdicts.map((one) => GRAVITY.indexOf(one)), -1)] ?? "";

// what is folded below

function whyPart(finding, all) {
  if (!finding.why?.length) return [];
  const name = [finding.repeat, new Set(all.map((one) => one.name)).size > 1 && finding.label.toLowerCase()].filter(Boolean).join(", ");
  return [piece("why", { summary: `Why${name ? `, ${name}` : ""}: as this phone reckons it`, lines: finding.why.map((words) => element("li", words)) })];
}

const limitsPart = (line) => (line.check.limits.length ? [piece("limits", {
  limits: line.check.limits.map(([words, source]) => {
    const made = element("li", capital(words));
    made.append(document.createElement("br"), element("small", source));
    return made;
  }),
})] : []);

function typedPart(visit, line) {
  const pairs = line.measurement.readings.flatMap((one) => {
    const input = inputOf(line, one.input);
    const label = [input?.label ?? one.input, one.label].filter(Boolean).join(", ");
    const said = element("dd", readingWords(one, input, visit.units));
    const instrument = visit.pack.instruments.find(({ id }) => id === one.instrument);
    if (instrument) said.append(document.createElement("br"), element("small", instrument.name));
    return [element("dt", label), said];
  });
  return pairs.length ? [piece("typed", { pairs })] : [];
}

function defectParts(visit, line) {
  const mine = visit.defects.filter((one) => line.defects.includes(one.id));
  return mine.length ? [element("h2", "Defects"), ...mine.map((one) => element("p", joined(one.words, one.put_right ? `put right: ${one.put_right.words}` : one.is_unsafe && "unsafe")))] : [];
}

function replacedParts(visit, line) {
  const said = (one) => one.answer || one.readings.map((r) => readingWords(r, inputOf(line, r.input), visit.units)).join(", ");
  return line.replaced.filter(({ reason }) => !/ added$/.test(reason)).map(({ was, reason }) => piece("struck", {
    was: said(was), now: said(line.measurement),
    words: `Replaced ${clockAndDay(line.measurement.at, visit.zone)}, ${line.measurement.by}: ${reason}. Both stay on record.`,
  }));
}

// What was found when the system was handed over, beside today; how far it moved is worked out with both days' weather.
function baselinePart(visit, line) {
  const before = visit.pack.baseline?.[line.id];
  if (!before) return [];
  const pairs = before.values.flatMap((one) => [element("dt", one.label), element("dd", `${one.value}${one.expected ? `, should have been ${one.expected}` : ""}`)]);
  const list = element("dl", "", "pairs");
  list.append(...pairs);
  return [element("h2", `At the baseline, ${before.day}`), list, element("p", "How far it has moved is worked out by the server, with the weather of both days taken out.", "small")];
}

function onPart(visit, line) {
  const url = `${visit.pack.urls.visit}${line.id}/`;
  const { id, pictures = [], photos, answer } = line.measurement;
  const many = line.measurement.isLocal ? pictures.length : photos;
  const content = [element("p", many ? `${many === 1 ? "1 photo was" : `${many} photos were`} taken with it.` : "No photo was taken with it."),
    ...(id ? [link(`${visit.pack.urls.photos}?measurement=${id}`, "Add photos", "button")] : [])];
  const parts = [piece("fold", { summary: many ? `Photos: ${many}` : "Photos", content })];
  if (line.measurement.isDerived || visit.ended) return parts;
  const { repeat, is_condition: isCondition } = line.check;
  if (repeat.shape === "rows" && !repeat.by_the_day) parts.push(piece("button", { url: `${url}?more=1`, words: `Add another ${repeat.noun}` }));
  if (isCondition) parts.push(piece("button", { url: `${url}?again=1`, words: "Take it again now" }));
  else if (id) parts.push(piece("replace", { summary: `Replace ${answer ? "this answer" : "this reading"}`, url }));
  return parts;
}
