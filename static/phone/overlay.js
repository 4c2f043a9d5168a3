/* The pages of a visit that was taken along: what is kept on this phone is laid over the server's own pages, and their
   forms go into the phone's book. Begun by running.js once the pack is found. */
import { carryOut } from "./acts.js";
import { drawCheck } from "./check_page.js";
import { follow } from "./drafts.js";
import { judgeLine } from "./judged.js";
import { drawHold, drawOrder } from "./order_page.js";
import { element, layOut, piece } from "./pieces.js";
import { drawRecord } from "./record.js";
import { clockAndDay, findingWords } from "./say.js";
import { drawSigning } from "./sign_page.js";
import { standingOf } from "./standing.js";
import { itemsOf, pack as packOf, subscribe } from "./store.js";

let pack = null;
let records = [];

/** Draw this page, and take over its forms. `taken` is the record of the pack on this phone. */
export async function overlay(taken) {
  pack = taken.data;
  layOut(pack.skeletons);
  document.addEventListener("submit", onSubmit, true); // before the page's own way of sending
  records = await itemsOf(pack.visit);
  await draw();
  document.body.dataset.takenAlong = "drawn";
  sayWhatWasDone();
  subscribe(onMessage);
}

/** Return what an address within the visit names. */
export function placeOf(address, visit) {
  const query = address.searchParams, url = address.pathname;
  const page = url.startsWith(pack.urls.visit) ? decodeURIComponent(url.slice(pack.urls.visit.length)) : "";
  const hold = page.match(/^hold\/([^/]+)\/$/)?.[1];
  const defect = page.match(/^defect\/([0-9a-f-]{36})\/$/)?.[1];
  const owed = page.replace(/aside\/$/, "").replace(/\/$/, "");
  const line = visit.byId.get(owed);
  return { url: line ? `${pack.urls.visit}${owed}/` : url, query, page, hold: visit.holds.find((one) => one.key === hold), defect, owed: line && owed, line };
}

const standing = (more = []) => standingOf(pack, [...records, ...more], judgeLine);

async function draw() {
  const visit = standing();
  const place = placeOf(new URL(location.href), visit);
  if (place.line) drawCheck(visit, place.line, place.query);
  else if (place.hold) drawHold(visit, place.hold);
  else if (place.url === pack.urls.visit) drawOrder(visit);
  else if (place.page === "sign/") await drawSigning(visit);
  else if (place.page === "arrival/") drawSaid(visit);
  else drawRecord(visit);
  nameDefectOf(visit, place);
  await followForms();
}

// What the owner says, as it was kept here last: the words that came along are of before.
function drawSaid(visit) {
  const section = document.querySelector("[data-said]");
  if (!section || !visit.said) return;
  const chosen = visit.said.symptoms.map((key) => section.querySelector(`input[value="${CSS.escape(key)}"]`)?.parentElement.textContent.trim() ?? key);
  const words = section.querySelector("[data-said-words]") ?? element("p");
  words.dataset.saidWords = "";
  words.replaceChildren(element("strong", `${[...chosen, visit.said.words].filter(Boolean).join(". ")}.`), " ", element("small", `${visit.said.by}, ${clockAndDay(visit.said.at, visit.zone)}`));
  section.querySelector("h2").after(words);
  const again = section.querySelector("details");
  if (again) [again.open, again.firstElementChild.textContent] = [false, "Say it anew"];
}

// The page for raising a defect came along once; which check it is about stands in the address.
function nameDefectOf(visit, { page, query }) {
  const line = page === "defect/" && visit.byId.get(query.get("check") ?? "");
  if (!line) return;
  const head = document.querySelector(".head");
  head.querySelector(".back").href = `${pack.urls.visit}${line.id}/`;
  head.querySelector(".back").textContent = `‹ ${line.number} ${line.check.title}`;
  head.querySelector("p").textContent = `${pack.site_name} · ${line.check.title}, ${line.words}`;
  const words = document.querySelector("textarea[name=words]");
  if (words && !words.value) words.value = line.measurement?.note ?? "";
}

async function followForms() {
  const forms = [...document.querySelectorAll("main form[method=post]:not(.who)")];
  const ofQuestion = forms.filter((form) => form.dataset.answer); // not counted: it goes once it is answered
  const others = forms.filter((form) => !form.dataset.answer);
  await Promise.all([
    ...ofQuestion.map((form) => follow(form, `${location.pathname}#${form.dataset.answer}`)),
    ...others.map((form, n) => follow(form, `${location.pathname}#${form.dataset.measure ?? n}`)),
  ]);
}

// forms

async function onSubmit(event) {
  const form = event.target;
  if (form.method !== "post" || form.matches(".who") || !form.closest("main")) return;
  event.preventDefault();
  event.stopImmediatePropagation();
  if (form.dataset.busy) return;
  form.dataset.busy = "yes";
  try {
    records = await itemsOf(pack.visit);
    const visit = standing();
    const place = placeOf(new URL(location.href), visit);
    const done = await carryOut(form, event.submitter, place, visit, foresee);
    if (done) await goOn(done);
  } finally {
    delete form.dataset.busy;
  }
}

/** Return what this phone shows of a measurement that is about to be kept: it goes out with it. */
function foresee(body) {
  const record = { id: "foreseen", kind: "measurement.taken", user: pack.user, state: "kept", item: { body, clock: { wall: body.taken_at } } };
  const visit = standing([record]);
  const line = visit.byId.get(`${body.check}:${body.subject}`);
  const [first] = line.measurement.findings ?? [];
  const limits = first && findingWords(first, visit.units).limits;
  return { verdict: line.verdict, ...(limits && limits !== "—" && { window: limits.replaceAll("\u00a0", " ") }), ...(pack.tables_mark && { tables: pack.tables_mark }) };
}

async function goOn({ url, words, focus }) {
  if (words) sessionStorage.setItem("done", words);
  if (new URL(url, location.href).pathname !== location.pathname) {
    location.assign(url);
    return;
  }
  history.replaceState(null, "", url);
  records = await itemsOf(pack.visit);
  await draw();
  sayWhatWasDone();
  document.querySelector(focus ?? "#main")?.focus({ preventScroll: true });
  scrollTo({ top: 0 });
}

function sayWhatWasDone() {
  const words = sessionStorage.getItem("done");
  if (!words) return;
  sessionStorage.removeItem("done");
  for (const old of document.querySelectorAll("[data-done]")) old.remove();
  const made = piece("kept", { words });
  made.dataset.done = "";
  (document.getElementById("phone-state") ?? document.querySelector(".head")).after(made);
}

// Something was kept in another tab, sent, or a newer pack has come: draw again, unless somebody is typing.
async function onMessage(message) {
  if (!["items", "packs"].includes(message.what)) return;
  const isTyping = document.activeElement?.closest("main form[method=post]");
  const newer = message.what === "packs" && message.visit === pack.visit ? await packOf(pack.visit) : null;
  if (isTyping) return;
  if (newer && newer.made_at !== undefined) {
    location.reload(); // the server's own pages have come along anew
    return;
  }
  records = await itemsOf(pack.visit);
  await draw();
}
