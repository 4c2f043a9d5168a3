/* How a visit stands on this phone: what the pack says, with what is kept here and not in it yet laid over it.
   The rules are those of commissioning/progress.py; one test lays both side by side. */

const NOT_APPLICABLE = "does not apply here";
const ASIDE = { parked: "parked", cannot_be_taken: "cannot be taken", does_not_apply: NOT_APPLICABLE, as_before: "read, as before" };
const ASIDE_WORDS = { parked: "parked", cannot_be_taken: "cannot be taken", does_not_apply: NOT_APPLICABLE, taken_up: "taken up again", as_before: "read, as before" };
const NOT_COUNTED = ["refused", "dropped"];

/** Return the visit as it stands. `judgeLine(line, visit)` says what is to be said of a measurement made here. */
export function standingOf(pack, records, judgeLine) {
  const known = new Set(pack.known);
  const visit = begun(pack);
  const mine = records.filter((one) => !known.has(one.id));
  for (const record of mine.filter((one) => !NOT_COUNTED.includes(one.state))) APPLY[record.kind]?.(visit, record.item.body, record);
  visit.refused = mine.filter((one) => one.state === "refused");
  visit.unsent = mine.filter((one) => one.state === "kept").length;
  for (const line of visit.all) judged(line, visit, judgeLine);
  settle(visit);
  return visit;
}

function begun(pack) {
  const lines = pack.lines.map((one) => lineOf(one, pack));
  const offered = pack.offered.map((one) => lineOf(one, pack));
  const all = [...lines, ...offered];
  const byId = new Map(all.map((line) => [line.id, line]));
  return {
    pack, zone: pack.zone, units: pack.units, lines, offered, all, byId,
    holds: pack.holds.map((one) => ({ ...one })), defects: pack.defects.map((one) => ({ ...one })),
    signatures: [...pack.signatures], photos: [], ended: pack.ended, corrections: [],
    changedAt: Infinity, // place in this phone's book from which on the record is another than that of the tables
  };
}

function lineOf(data, pack) {
  const line = { ...data, check: pack.checks[data.check], checkKey: data.check, isOptional: data.optional, earlier: [], replaced: [] };
  line.measurement = data.taken && { ...data.taken, at: new Date(data.taken.taken_at), isLocal: false };
  line.verdict = data.taken?.verdict ?? "";
  line.defects = [...data.defects];
  return line;
}

const nameOf = (record, visit) => (record.user === visit.pack.user ? visit.pack.name : record.user);
const madeAt = (record) => new Date(record.item.clock.wall);

const APPLY = {
  "measurement.taken"(visit, body, record) {
    const line = visit.byId.get(`${body.check}:${body.subject}`);
    if (!line) return;
    const made = {
      ...body, at: new Date(body.taken_at), by: nameOf(record, visit), isLocal: true, record, shown: record.item.shown,
      photos: (body.photos ?? []).length, pictures: body.photos ?? [], findings: null, verdict: "",
    };
    const before = line.measurement;
    if (before && body.supersedes === before.id) line.replaced.unshift({ was: before, reason: body.supersedes_reason });
    else if (before) line.earlier.push(before);
    line.measurement = made;
    if (line.aside && new Date(line.aside.at) < made.at) line.aside = null;
  },
  "check.set_aside"(visit, body, record) {
    const line = visit.byId.get(`${body.check}:${body.subject}`);
    if (line) line.aside = { ...body, how_words: ASIDE_WORDS[body.how], by: nameOf(record, visit), at: record.item.clock.wall };
  },
  "hold.released"(visit, body, record) {
    const hold = visit.holds.find((one) => one.key === body.hold);
    if (hold) hold.release = { by: nameOf(record, visit), at: record.item.clock.wall, reason: body.reason };
  },
  "defect.raised"(visit, body, record) {
    const number = Math.max(0, ...visit.defects.map((one) => one.number)) + 1; // the server counts on in the same way
    visit.defects.push({ ...body, number, due: body.due ?? "", raised_at: record.item.clock.wall, raised_by: nameOf(record, visit), put_right: null, isLocal: true });
    visit.byId.get(`${body.check}:${body.subject}`)?.defects.push(body.id);
  },
  "defect.put_right"(visit, body, record) {
    const defect = visit.defects.find((one) => one.id === body.defect);
    if (defect) defect.put_right = { at: record.item.clock.wall, by: nameOf(record, visit), words: body.words };
  },
  "question.answered"(visit, body, record) {
    const line = visit.all.find((one) => one.question?.id === body.question);
    if (line) [line.replied, line.question] = [{ question: line.question, words: body.words, by: nameOf(record, visit), at: madeAt(record), isSent: record.state === "sent" }, null];
  },
  "photo.added"(visit, body) {
    if (body.measurement === null) visit.photos.push(body);
    const line = visit.all.find((one) => one.measurement?.id === body.measurement);
    if (line) line.measurement.pictures = [...(line.measurement.pictures ?? []), body];
  },
  "visit.signed"(visit, body, record) {
    visit.signatures.push({ id: body.id, name: body.printed_name, role: body.role, meaning: body.meaning, at: record.item.clock.wall, shown_hash: body.shown_hash, isLocal: true });
  },
  "visit.ended"(visit, body, record) {
    visit.ended ??= { at: madeAt(record).toISOString(), left_isolated: body.left_isolated, reason: body.reason };
  },
  "owner.said"(visit, body, record) {
    visit.said = { ...body, by: nameOf(record, visit), at: madeAt(record) };
    putFirst(visit, visit.pack.asked?.[""]);
    for (const key of [...body.symptoms].reverse()) putFirst(visit, visit.pack.asked?.[key], true);
  },
  "record.changed"(visit, body, record) {
    visit.corrections.push(body);
    if (body.changes.some((one) => one.fields)) visit.changedAt = Math.min(visit.changedAt, record.turn ?? Infinity);
  },
};

// What the owner says puts checks first, and makes some owed that were only offered; the server worked out which.
function putFirst(visit, asked, isMore = false) {
  for (const [id, [first, isOptional]] of Object.entries(asked ?? {})) {
    const line = visit.byId.get(id);
    if (line) Object.assign(line, { first, isOptional: isMore ? line.isOptional && isOptional : isOptional });
  }
}

// verdicts: those of the server stand; what was made here is judged here, what it needs first

function judged(line, visit, judgeLine, asking = new Set()) {
  if (line.isJudged || asking.has(line)) return;
  asking.add(line);
  for (const need of line.needs) {
    const needed = visit.byId.get(`${need.name}:${need.subject}`);
    if (needed) judged(needed, visit, judgeLine, asking);
  }
  line.isJudged = true;
  const isDerivable = line.check.kind === "derived" && !line.measurement;
  if (!line.measurement?.isLocal && !isDerivable) return;
  const found = judgeLine(line, visit);
  if (!found) return;
  if (isDerivable) line.measurement = { isLocal: true, isDerived: true, id: null, readings: [], at: found.at, taken_at: found.at.toISOString(), by: visit.pack.name, note: "", answer: "", photos: 0, pictures: [] };
  Object.assign(line.measurement, { findings: found.findings, verdict: found.verdict });
  line.verdict = found.verdict;
}

// statuses and holds

function settle(visit) {
  for (const line of visit.all) {
    line.status = statusOf(line);
    line.isGood = isGood(line);
    line.rowsLeft = rowsLeft(line);
    line.isStale = Boolean(line.stale) && !line.measurement;
  }
  for (const hold of visit.holds) {
    hold.required = hold.requires.map((id) => visit.byId.get(id)).filter(Boolean);
    hold.stillOwed = hold.required.filter((line) => !line.isGood);
    hold.standing = standing(hold);
  }
  const closed = new Set(visit.holds.filter((hold) => hold.standing === "stands").map((hold) => hold.key));
  for (const line of visit.all) {
    if (line.status === "owed" && closed.has(line.check.gate)) line.status = "behind a hold";
    line.isOpen = ["owed", "behind a hold", "parked"].includes(line.status);
  }
  const isOffered = (line) => line.isOptional && !line.measurement;
  visit.lines = visit.all.filter((line) => !isOffered(line)).sort((a, b) => a.number - b.number);
  visit.offered = visit.all.filter(isOffered).sort((a, b) => a.number - b.number);
  visit.owedCount = visit.lines.filter((line) => line.isOpen).length;
}

function statusOf(line) {
  if (line.measurement) return line.measurement.answer === NOT_APPLICABLE ? NOT_APPLICABLE : "taken";
  if (line.aside?.how === "as_before" && line.check.is_on_hold) return "owed"; // a hold wants the number
  return ASIDE[line.aside?.how] ?? "owed";
}

function isGood(line) {
  if (line.status === NOT_APPLICABLE || line.conceded) return true;
  if (!line.measurement) return line.isOptional;
  if (line.isOptional && line.verdict === "unjudged") return true;
  return line.verdict === "within" || line.check.is_condition;
}

function rowsLeft(line) {
  const { shape, least } = line.check.repeat;
  if (!line.measurement || line.verdict !== "unjudged" || shape !== "rows") return 0;
  return Math.max(least - new Set((line.measurement.findings ?? []).map((one) => one.repeat)).size, 0);
}

function standing(hold) {
  if (hold.is_designed && !hold.stillOwed.length) return "settled";
  return hold.release && !hold.only_settled ? "released" : "stands";
}

// questions to a visit

/** Whether a figure of the record was put right on this phone before a measurement was made: its tables no longer hold. */
export const isAfterChange = (visit, one) => visit.changedAt < (one?.record?.turn ?? Infinity);

export const isByItself = (line) => line.check.kind === "derived";

/** Whether a person on site can take a check now. */
export const isTakeable = (line) => line.status === "owed" && !line.check.from_laboratory && !isByItself(line);

/** Return the hold that keeps a check from being taken, if one stands. */
export const closedBy = (visit, line) => visit.holds.find((one) => one.key === line.check.gate && one.standing === "stands");

/** Return the check to take next: what comes first, else the lowest number; early conditions last. */
export function nextLine(visit, beside = null) {
  const free = visit.lines.filter((line) => isTakeable(line) && line !== beside);
  const wanted = new Set(free.filter((line) => !line.check.is_condition).flatMap((line) => line.needs.map((need) => need.name)));
  const rank = (line) => [line.first ? 0 : 1, line.check.is_condition && !wanted.has(line.checkKey) ? 1 : 0, line.number];
  return free.reduce((best, line) => (!best || isLess(rank(line), rank(best)) ? line : best), null);
}

function isLess(a, b) {
  const place = a.findIndex((one, n) => one !== b[n]);
  return place >= 0 && a[place] < b[place];
}
