/* The page of a visit: every owed check once, in the section where a person looks for it; as visits/sections.py. */
import { asideWords, asked, laboratoryWords, rowsWords, standingWords, takenWords, where, whereAndWhy } from "./say.js";
import { isByItself, isTakeable } from "./standing.js";

const LATEST = 4; // lines of what is taken that stay in sight

/** Return the sections, each {key, title, hold, bars, lines, folded, foldedWords}; a line is {line, words, isBehind}. */
export function sectionsOf(visit) {
  const made = [];
  const left = new Set(visit.lines);
  const take = (key, title, fits, words = where) => {
    const found = [...left].filter(fits);
    found.forEach((line) => left.delete(line));
    if (found.length) made.push(section(key, title, found.map((line) => said(line, words(line)))));
  };
  take("first", "Take first", (line) => isTakeable(line) && line.first, whereAndWhy);
  take("rows", "More rows owed", (line) => line.rowsLeft > 0, rowsWords);
  take("sun", "Needs sun", (line) => isTakeable(line) && line.check.needs_sun);
  const standing = visit.holds.filter((one) => one.standing === "stands");
  const runsAlready = visit.pack.kind === "service";
  const asked = new Set(runsAlready ? standing.flatMap((hold) => hold.required) : []);
  const takeGroups = () => {
    const free = (line) => isTakeable(line) && !asked.has(line);
    for (const group of new Set([...left].filter(free).map((line) => line.check.group))) {
      take(`group-${made.length}`, group, (line) => free(line) && line.check.group === group);
    }
  };
  if (runsAlready) takeGroups(); // what needs nothing isolated is read first
  made.push(...standing.map((hold) => holdSection(hold, left)));
  takeGroups();
  take("behind", "Waits", (line) => line.status === "behind a hold");
  take("parked", "Parked", (line) => line.status === "parked" && !line.check.from_laboratory, asideWords);
  take("laboratory", "Laboratory", (line) => line.check.from_laboratory && line.isOpen, laboratoryWords);
  take("itself", "Worked out from the others", (line) => isByItself(line) && line.isOpen);
  made.push(...taken(visit, left));
  take("as-before", "Read, as before", (line) => line.status === "read, as before", asideWords);
  take("aside", "Not taken", (line) => ["cannot be taken", "does not apply here"].includes(line.status), asideWords);
  return [...made, ...offered(visit)];
}

/** Return the checks about which the office waits for an answer, each with its question. */
export const askedLines = (visit) => [...visit.lines, ...visit.offered].filter((line) => line.question)
  .map((line) => said(line, `${line.words} · ${line.question.by} asks: ${line.question.words}`));

const section = (key, title, lines, more = {}) => ({ key, title, lines, hold: null, bars: [], folded: [], foldedWords: "", ...more });

const isReadOnly = (line) => line.aside?.how === "as_before" && ["owed", "behind a hold"].includes(line.status); // a hold rests on its number

const said = (line, words, isBehind = false) => ({ line, words: [words, line.isStale && `owed again: ${line.stale}`, isReadOnly(line) && line.aside.how_words].filter(Boolean).join(" · "), isBehind: isBehind || line.status === "behind a hold" });

// A standing hold with what it asks for, then what waits behind it.
function holdSection(hold, left) {
  const asks = hold.required.filter((line) => left.has(line) && line.status === "owed");
  const behind = [...left].filter((line) => line.status === "behind a hold" && line.check.gate === hold.key);
  [...asks, ...behind].forEach((line) => left.delete(line));
  const folded = behind.map((line) => said(line, `${line.first && line.first !== line.check.perishable ? whereAndWhy(line) : where(line)} · after this hold`, true));
  const foldedWords = `${folded.length} wait${folded.length === 1 ? "s" : ""} behind this hold`;
  return section(`hold-${hold.key}`, "", asks.map((line) => said(line, asked(line, hold))), { hold, folded, foldedWords });
}

// What is taken, latest first, under the holds that no longer stand.
function taken(visit, left) {
  const found = [...left].filter((line) => line.status === "taken");
  found.forEach((line) => left.delete(line));
  const bars = visit.holds.filter((hold) => hold.standing !== "stands");
  if (!found.length && !bars.length) return [];
  found.sort((a, b) => b.measurement.at - a.measurement.at || b.number - a.number);
  const lines = found.map((line) => said(line, takenWords(line, visit)));
  const foldedWords = `${lines.length - LATEST} taken before`;
  return [section("taken", "Taken", lines.slice(0, LATEST), { bars, folded: lines.slice(LATEST), foldedWords })];
}

function offered(visit) {
  const free = visit.offered.filter((line) => !isByItself(line));
  if (!free.length || visit.ended) return [];
  const groups = [...new Set(free.map((line) => line.check.group))];
  const found = groups.flatMap((group) => free.filter((line) => line.check.group === group));
  const folded = found.map((line) => said(line, `${line.check.group} · ${line.aside ? asideWords(line) : where(line)}`));
  const foldedWords = `${folded.length} ${folded.length === 1 ? "check" : "checks"} that nobody waits for`;
  return [section("offered", "Could also be taken", [], { folded, foldedWords })];
}

const COUNTS = [
  [(line) => isTakeable(line) && line.first && line.first === line.check.perishable, "is lost if not taken now", "are lost if not taken now"],
  [(line) => isTakeable(line) && line.check.needs_sun, "needs sun", "need sun"],
  [(line) => line.status === "behind a hold", "waits behind a hold", "wait behind a hold"],
  [(line) => line.status === "parked" && !line.check.from_laboratory, "is parked", "are parked"],
  [(line) => line.check.from_laboratory, "waits for the laboratory", "wait for the laboratory"],
];

/** Return the sentences beside the count: what is lost, what needs sun, what waits. */
export function owedSentences(visit) {
  const open = visit.lines.filter((line) => line.isOpen);
  return COUNTS.map(([fits, one, more]) => [open.filter(fits).length, one, more])
    .filter(([many]) => many)
    .map(([many, one, more]) => `${many} ${many === 1 ? one : more}.`);
}

export const holdWords = (hold, visit) => standingWords(hold, visit.zone);
