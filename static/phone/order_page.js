/* The page of a visit and the page of a hold, with what is kept on this phone counted in. */
import { holdBar, lineItem, nextBar } from "./parts.js";
import { element, piece } from "./pieces.js";
import { asked, clockAndDay, day, joined, owedWords, standingWords, takenWords } from "./say.js";
import { askedLines, owedSentences, sectionsOf } from "./sections.js";
import { isTakeable, nextLine } from "./standing.js";

const main = () => document.getElementById("main");

export function drawOrder(visit) {
  const owed = document.getElementById("owed");
  owed.querySelector(".big").textContent = visit.owedCount;
  owed.lastElementChild.textContent = owedSentences(visit).join(" ") || "Nothing is left to take.";
  main().querySelectorAll("section[aria-labelledby^='s-']").forEach((old) => old.remove());
  owed.after(...sectionsOf(visit).map((one) => sectionPart(one, visit)));
  drawAsked(visit);
  drawDefects(visit);
  drawPhotos(visit);
  drawSigned(visit);
  drawEnd(visit);
}

function sectionPart(one, visit) {
  const made = piece("section", {
    "lines-all": true, heading: one.hold ? one.hold.title : one.title, bars: [...(one.hold ? [one.hold] : []), ...one.bars].map((hold) => holdBar(hold, visit)),
    lines: one.lines.map((line) => lineItem(line, visit)), folded: one.folded.map((line) => lineItem(line, visit)),
    "folded-all": Boolean(one.folded.length), "folded-words": one.foldedWords,
  });
  made.id = one.key;
  made.setAttribute("aria-labelledby", `s-${one.key}`);
  const head = made.querySelector("h2");
  head.id = `s-${one.key}`;
  if (one.hold) head.className = "aside";
  return made;
}

// A question answered on this phone no longer waits, though the page came along with it.
function drawAsked(visit) {
  const part = main().querySelector("section[aria-labelledby='office-asks']");
  const found = askedLines(visit);
  if (found.length) part?.querySelector("ol").replaceChildren(...found.map((one) => lineItem(one, visit)));
  else part?.remove();
}

function replaced(name, parts, place) {
  const old = main().querySelector(`section[aria-labelledby='${name}']`);
  if (!parts.length) return old?.remove();
  const made = document.createElement("section");
  made.setAttribute("aria-labelledby", name);
  made.append(...parts);
  if (old) old.replaceWith(made);
  else place.before(made);
  return made;
}

const heading = (id, words) => {
  const made = element("h2", words);
  made.id = id;
  return made;
};

const foot = () => main().querySelector("section[aria-labelledby='more']");

function drawDefects(visit) {
  if (!visit.defects.length) return;
  const list = element("ul", "", "order");
  list.append(...visit.defects.map((one) => defectItem(one, visit)));
  replaced("defects", [heading("defects", "Defects"), list], foot());
}

// A defect raised on this phone has no page of its own yet: it is put right where it stands.
function defectItem(one, visit) {
  const words = one.put_right ? `put right, ${one.put_right.by}: ${one.put_right.words}`
    : joined(one.is_unsafe && "unsafe", one.who || "nobody named yet", one.due && `by ${day(new Date(`${one.due}T12:00Z`), "UTC").slice(4)}`);
  if (!one.isLocal) return piece("line", { number: `D${one.number}`, url: `${visit.pack.urls.visit}defect/${one.id}/`, title: one.words, words });
  const made = piece("plain-line", { number: `D${one.number}`, title: one.words, words: `${words} · kept on this phone` });
  if (!one.put_right) made.lastElementChild.firstElementChild.append(putRightForm(one));
  return made;
}

function putRightForm(defect) {
  const made = piece("put-right");
  made.querySelector("form").dataset.defect = defect.id;
  made.querySelector("label").htmlFor = made.querySelector("textarea").id = `right-${defect.id}`;
  return made;
}

function drawPhotos(visit) {
  if (visit.photos.length) replaced("photos-here", [element("p", `Photos of the visit kept on this phone: ${visit.photos.length}`)], foot());
}

function drawSigned(visit) {
  if (!visit.signatures.length) return;
  const list = element("ul");
  list.append(...visit.signatures.map((one) => element("li", `${one.name}, ${one.role}, ${clockAndDay(new Date(one.at), visit.zone)}: ${one.meaning}${one.isLocal ? " · kept on this phone" : ""}`)));
  replaced("signed", [heading("signed", "Signed"), list], foot());
}

function drawEnd(visit) {
  const coming = nextLine(visit);
  const next = visit.ended ? {} : coming
    ? { url: `${visit.pack.urls.visit}${coming.id}/`, words: `${coming.number} ${coming.check.title}, ${coming.subject}` }
    : { url: visit.pack.urls.sign, words: "Sign the visit" };
  main().querySelector("nav[aria-label='Next step']").replaceWith(nextBar({ ...next, all: "#owed" }));
  if (!visit.ended || visit.pack.ended) return;
  const words = `Ended ${clockAndDay(new Date(visit.ended.at), visit.zone)}. What was measured stays as it is.`;
  main().querySelector(".head").after(...(visit.ended.left_isolated ? [piece("hold-plain", { title: "Left isolated: do not use.", words: visit.ended.reason })] : []), piece("kept", { words }));
  for (const one of main().querySelectorAll(`a[href='${visit.pack.urls.end}']`)) one.remove();
}

// a hold

export function drawHold(visit, hold) {
  const stands = hold.standing === "stands";
  main().querySelector(".head .back").textContent = `‹ ${visit.owedCount} owed`;
  const bar = piece("hold-plain", stands ? { title: `Stands: ${hold.stays_off}.`, words: owedWords(hold) } : { title: standingWords(hold, visit.zone) });
  if (!stands) bar.classList.add(hold.standing);
  main().querySelector(".head ~ .hold")?.replaceWith(bar);
  const words = (line) => (line.measurement ? takenWords(line, visit) : asked(line, hold));
  lines("stillowed", "Still owed", hold.stillOwed, words, visit, bar);
  const good = hold.required.filter((line) => line.isGood);
  lines("settled", "Settled", good, (line) => (line.measurement ? takenWords(line, visit) : `${line.words} · ${line.status}`), visit, main().querySelector("section:last-of-type") ?? bar);
  const form = main().querySelector("form[method=post]:not(.who)")?.closest("details");
  if (form && (!stands || hold.only_settled || visit.ended)) form.remove();
  const first = hold.stillOwed.find(isTakeable);
  const next = first ? { url: `${visit.pack.urls.visit}${first.id}/`, words: `${first.number} ${first.check.title}, ${first.subject}` } : {};
  main().querySelector("nav[aria-label='Next step']").replaceWith(nextBar({ ...next, all: visit.pack.urls.visit }));
}

function lines(name, title, found, words, visit, behind) {
  main().querySelector(`section[aria-labelledby='${name}']`)?.remove();
  if (!found.length) return;
  const list = element("ol", "", "order");
  list.append(...found.map((line) => lineItem({ line, words: words(line) }, visit)));
  const made = document.createElement("section");
  made.setAttribute("aria-labelledby", name);
  made.append(heading(name, title), list);
  behind.isConnected ? behind.after(made) : main().querySelector(".head ~ .hold").after(made);
}

