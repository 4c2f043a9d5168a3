/* The page of one owed check, drawn again from what the server sent along and what is kept here since. */
import { fillAsBefore, rowStep, stepsNow, stepsOf } from "./steps.js";
import { holdBar, nextBar, put } from "./parts.js";
import { element, link, piece } from "./pieces.js";
import { resultParts } from "./result.js";
import { ago, clockAndDay, findingWords, lasting } from "./say.js";
import { closedBy, isByItself, nextLine } from "./standing.js";

/** Return what this address wants of the check: its way, whether it is taken again, replaced, or gets a row. */
export function wanted(line, query) {
  const taken = line.measurement;
  const isRows = line.check.repeat.shape === "rows";
  const isReplacing = query.has("replace") && Boolean(taken);
  const addsRow = isRows && Boolean(taken) && !isReplacing && (line.check.repeat.by_the_day || query.has("more"));
  const asks = !isByItself(line) && (!taken || addsRow || isReplacing || (query.has("again") && line.check.is_condition));
  const key = query.get("way") || taken?.way || line.check.ways[0]?.key;
  const way = line.check.ways.find((one) => one.key === key) ?? line.check.ways[0];
  return { asks, addsRow, isReplacing, way, reason: query.get("reason") ?? "", back: query.get("back") ?? "" };
}

/** Draw the page; the server's own result stays where nothing newer is known here. */
export function drawCheck(visit, line, query) {
  const part = document.getElementById("measurement");
  const want = wanted(line, query);
  part.querySelector(".head .back").textContent = `‹ ${visit.owedCount} owed`;
  const isOwn = line.measurement && !line.measurement.isLocal && !want.asks;
  const question = questionParts(part, visit, line);
  if (isOwn) return refresh(part, visit, line, want, question);
  const head = part.querySelector(".head"), state = part.querySelector("#phone-state");
  const refused = visit.refused.filter((one) => isOf(one, line)).map(refusedWords);
  const shown = line.measurement ? resultParts(visit, line, want) : [];
  const asked = want.asks ? before(visit, line, want) : [];
  const aside = line.measurement || isByItself(line) ? [] : asideParts(line, visit);
  const itself = !want.asks && !line.measurement && isByItself(line)
    ? [element("p", "Worked out by itself as soon as what it needs is there. There is nothing to read.")] : [];
  const first = want.addsRow || want.isReplacing ? [...asked, ...shown] : [...shown, ...asked];
  part.replaceChildren(head, ...(state ? [state] : []), ...refused, ...question, ...first, ...itself, ...aside, ...onward(visit, line, want));
  document.dispatchEvent(new CustomEvent("htmx:load", { detail: { elt: part } })); // the page's own scripts take hold
  return part;
}

const isOf = (record, { checkKey, subject }) => record.item.body.check === checkKey && record.item.body.subject === subject;

function refusedWords(record) {
  const typed = (record.item.body.readings ?? []).map((one) => `${one.typed} ${one.unit}`.trim()).join(", ");
  const why = Object.values(record.faults ?? {}).join(" ");
  const made = piece("refused", { words: `Refused by the office’s server: ${why} It stays on this phone${typed ? `: ${typed}` : ""}. ` });
  made.append(link("/phone/", "Settle it"));
  return made;
}

// A result of the server's stays as it is printed; only the way on may have changed.
function refresh(part, visit, line, want, question) {
  part.querySelector("#question")?.replaceWith(...question);
  for (const old of part.querySelectorAll("nav[aria-label='Next step']")) old.remove();
  part.append(...onward(visit, line, want));
  return part;
}

// What the office asks stays in sight until it is answered here or there; a reading made since may be the answer.
function questionParts(part, visit, line) {
  const there = part.querySelector("#question");
  if (!line.question) return line.replied ? [answered(line.replied, visit)] : [];
  if (!there) return [];
  const reading = line.measurement?.id && line.measurement.id !== line.question.measurement ? line.measurement.id : "";
  there.querySelector("button[name=reading]")?.remove();
  if (reading) there.querySelector("form").append(piece("answer-reading", { words: true }));
  const button = there.querySelector("button[name=reading]");
  if (button) button.value = reading;
  return [there];
}

const answered = ({ question, words, by, at, isSent }, visit) => piece("answered", {
  question: question.words, words: words || "Answered by the reading of this check.", said: `${by}, ${clockAndDay(at, visit.zone)} · ${isSent ? "sent" : "kept on this phone"}`,
});

// before a value is typed

const template = (kind, way) => document.querySelector(`template[data-phone=${kind}]${way ? `[data-way="${way}"]` : ""}`);

function before(visit, line, want) {
  const source = template("form", want.way?.key);
  if (!source) return [element("p", line.ways[want.way?.key]?.missing ?? "Nothing can be typed here yet.", "error")];
  const made = source.content.cloneNode(true);
  const form = made.querySelector("form[data-measure]");
  const taps = made.querySelectorAll("form[data-set-point], form[data-as-before]");
  const closed = closedBy(visit, line), refusal = whyNotKept(visit, line);
  drawNeeds(made, visit, line);
  if (want.addsRow || want.isReplacing) drawSteps(form, visit, line, want);
  if (want.addsRow) trim(made, form);
  lastUsed(form, visit, line, want.way);
  const bars = [];
  if (closed) bars.push(holdBar(closed, visit), element("p", "The method is here to read. A reading can be kept when the hold is settled or released."));
  else if (refusal) bars.push(element("p", refusal));
  if (!want.addsRow) bars.push(...stillBefore(visit, line));
  if (closed || refusal) form.remove();
  for (const tap of taps) if (isTapOver(tap, visit, line, want, refusal)) tap.remove();
  put(made, bars, made.querySelector(".caution"));
  return [...made.childNodes];
}

// One tap for "as before" is there once, and where nothing can be kept only for a set point: reading it wants no pump.
function isTapOver(tap, visit, line, want, refusal) {
  if (line.measurement || want.addsRow || want.isReplacing || visit.ended) return true;
  return "setPoint" in tap.dataset ? line.aside?.how === "as_before" : Boolean(refusal);
}

/** Return why nothing can be kept on this check now; empty if it can. */
export function whyNotKept(visit, line) {
  const hold = closedBy(visit, line);
  if (hold) return `Hold “${hold.title}” stands: ${hold.stays_off}. Settle or release it first.`;
  if (visit.ended && !line.check.from_laboratory) return "This visit has ended. What was measured stays as it is; begin another visit to measure again.";
  return "";
}

// Row after row only the form is wanted: method and purpose were read at the first.
function trim(made, form) {
  for (const one of [...made.children]) if (one !== form && !one.matches(".caution, [aria-labelledby=cond]")) one.remove();
}

function drawSteps(form, visit, line, want) {
  const further = template("further", want.way.key);
  const main = [...form.querySelectorAll("button.full[type=submit]")].at(-1);
  if (further) {
    for (const old of form.querySelectorAll("section.field:not([data-timer])")) old.remove();
    const steps = stepsNow(line, want);
    onceFields(form, line, want);
    for (const step of steps.filter((one) => one.heading)) main.before(rowStep(further, step, want.isReplacing ? line.measurement : null));
    if (want.addsRow) main.textContent = `Keep ${steps[0].heading.toLowerCase()}`;
  }
  if (want.isReplacing) form.prepend(reasonField(want.reason));
}

// What is read once, whatever is repeated beside it, was read with the first row.
function onceFields(form, line, want) {
  for (const cell of stepsOf(line, want.way).filter((one) => !one.heading).flatMap((one) => one.cells)) {
    if (want.addsRow) form.querySelector(`[name="${cell.name}"]`)?.closest(".field .field, fieldset")?.remove();
    else fillAsBefore(form, cell, line.measurement);
  }
}

function reasonField(reason) {
  const made = piece("reason");
  made.querySelector("textarea").value = reason;
  return made;
}

// Unit and instrument of the last reading of an input stand chosen, as on the server's page.
function lastUsed(form, visit, line, way) {
  const readings = visit.all.filter((one) => one.checkKey === line.checkKey && one.measurement).sort((a, b) => a.measurement.at - b.measurement.at)
    .flatMap((one) => one.measurement.readings);
  for (const { input, unit, instrument } of readings) {
    if (!way.inputs.some((one) => one.name === input)) continue;
    const radio = form.querySelector(`input[name="unit-${CSS.escape(input)}"][value="${CSS.escape(unit)}"]`);
    if (radio) radio.checked = true;
    const choice = form.querySelector(`select[name="instrument-${CSS.escape(input)}"]`);
    if (choice && [...choice.options].some((one) => one.value === (instrument ?? ""))) choice.value = instrument ?? "";
  }
}

const stillBefore = (visit, line) => (line.measurement ? [] : visit.lines.filter((one) => line.check.after.includes(one.checkKey) && one.isOpen))
  .map((one) => {
    const words = element("p");
    words.append(element("strong", `${one.number} ${one.check.title}`), `, ${one.subject}, comes before this and is still owed.`);
    return words;
  });

// needs

function drawNeeds(made, visit, line) {
  const list = made.querySelector("dl.asked");
  if (list) list.replaceChildren(...line.needs.map((need) => needItem(need, visit, line)));
}

function needItem(need, visit, line) {
  const needed = visit.byId.get(`${need.name}:${need.subject}`);
  const taken = needed?.measurement;
  const isWeather = need.kind === "weather";
  const query = new URLSearchParams({ back: line.id, ...(taken && isWeather && { again: "1" }) });
  const url = needed && `${visit.pack.urls.visit}${needed.id}/?${query}`;
  if (need.problem) return piece("need", { label: need.label, said: element("span", need.problem, "reason") });
  if (!taken) {
    const words = `not measured yet${need.optional ? ", and can be left out" : ""}`;
    return piece("need", { label: need.label, said: element("span", words, "reason"), "link-all": Boolean(url), url, link: "Take it" });
  }
  return piece("need", { label: need.label, said: needWords(need, taken, visit), "link-all": true, url, link: isWeather ? "Take it again" : "Look" });
}

function needWords(need, taken, visit) {
  const found = (taken.findings ?? []).filter((one) => ["", one.name].includes(need.finding) && one.value !== null);
  const texts = found.map((one) => findingWords(one, visit.units).value);
  const value = need.every_repeat ? texts.join(", ") : texts[0] ?? "";
  const [words, isGood] = standingOfNeed(need, taken, value);
  const when = `${clockAndDay(taken.at, visit.zone)}, ${ago(taken.at)}`;
  return [...(value ? [element("span", value, "number"), ` at ${when}${words ? ", " : ""}`] : []), element("span", words, isGood ? "" : "reason")];
}

function standingOfNeed(need, taken, value) {
  if (!value) return ["taken, without a value so far", false];
  if (need.max_age === null) return ["", true];
  const left = need.max_age - (Date.now() - taken.at) / 1000;
  return left <= 0 ? [`too old: good for ${lasting(need.max_age)}`, false] : [`good for another ${lasting(left)}`, true];
}

// around it

function asideParts(line, visit) {
  const isAside = line.aside && line.aside.how !== "taken_up" && line.status !== "owed" && line.status !== "behind a hold";
  const source = template(isAside ? "set-aside" : "aside");
  if (!source || visit.ended) return [];
  const made = source.content.cloneNode(true);
  if (isAside) made.querySelector("section p").textContent = [line.words, line.aside.how_words, line.aside.reason, line.aside.by].filter(Boolean).join(" · ");
  return [...made.childNodes];
}

function onward(visit, line, want) {
  const urls = visit.pack.urls;
  const back = visit.byId.get(want.back);
  const coming = visit.ended ? null : nextLine(visit, line);
  const after = line.measurement && !want.asks ? afterwards(visit, line) : null;
  const backUrl = back && `${urls.visit}${back.id}/`;
  const isBackFirst = back && (back.isOpen || (back.status === "taken" && back.check.repeat.by_the_day));
  const [words, url] = after ?? (isBackFirst ? [`Back to ${back.number} ${back.check.title}`, backUrl]
    : coming ? [`Next: ${coming.number} ${coming.check.title}`, `${urls.visit}${coming.id}/`]
      : visit.ended ? ["", ""] : ["Sign the visit", urls.sign]);
  if (want.asks && !want.addsRow) return [];
  return [nextBar({ url, words, back: back && !isBackFirst && !after ? backUrl : "", backWords: back ? `See ${back.number} ${back.check.title}` : "", all: urls.visit }, want.asks)];
}

// A need with a bracket is read before and after: without the second reading nobody knows whether the sun stood.
function afterwards(visit, line) {
  for (const need of line.needs.filter((one) => one.kind === "weather" && one.bracket !== null && one.subject)) {
    const needed = visit.byId.get(`${need.name}:${need.subject}`);
    if (!needed) continue;
    const isAfter = needed.measurement && needed.measurement.at > line.measurement.at;
    const isLate = Date.now() - line.measurement.at > (need.max_age ?? 0) * 1000;
    if (isAfter || isLate) continue;
    const query = new URLSearchParams({ back: line.id, ...(needed.measurement && { again: "1" }) });
    return [`Next: ${needed.check.title.toLowerCase()} after`, `${visit.pack.urls.visit}${needed.id}/?${query}`];
  }
  return null;
}
