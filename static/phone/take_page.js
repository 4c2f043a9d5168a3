/* The page from which a visit is taken along. */
import { loadClock, serverNow } from "./clock.js";
import { itemsOf, pack } from "./store.js";
import { askToStay, leaveBehind, takeAlong } from "./taking.js";
import { ago, size, stayWords } from "./words.js";

const visit = document.body.dataset.visit;
const by = (id) => document.getElementById(id);
const FAILED = {
  offline: "No answer from the server. Nothing was changed on this phone.",
  failed: "The server failed. Nothing was changed on this phone. Try again later, or tell the office.",
  "sign-in": "Sign in again, then take it along. What is kept here stays.",
  "not-yours": "The office no longer shows you this visit. What is kept here stays.",
  full: "No room on this phone. Free some space, such as old photos or films, and try again.",
  private: "This browser lets nothing be kept, as in a private window. Open the logbook in an ordinary window.",
  broken: "The phone could not write it down. Load the page again and try once more.",
};

async function show() {
  const has = await pack(visit);
  by("take-has").replaceChildren(...pairs(await facts(has)));
  document.querySelector("[data-take]").textContent = has ? "Take along again" : "Take along";
}

async function facts(has) {
  if (!has) return [["On this phone", "nothing of this visit yet"]];
  const items = await itemsOf(visit);
  const waiting = items.filter((one) => one.state !== "sent" && one.state !== "dropped").length;
  const checks = Object.keys(has.data.checks ?? {}).length;
  return [
    ["Taken along", ago(has.made_at, serverNow())],
    ["What", `${has.paths.length} pages${checks ? `, ${checks} kinds of checks with their windows` : ""}, as-built record, instruments, earlier results, ${(has.data.photos ?? []).length} photos in small`],
    ["How much", size(has.bytes)],
    ["Kept here", items.length ? `${items.length}, not yet sent: ${waiting}` : "nothing yet"],
  ];
}

function pairs(facts) {
  return facts.flatMap(([term, words]) => {
    const [dt, dd] = [document.createElement("dt"), document.createElement("dd")];
    [dt.textContent, dd.textContent] = [term, words];
    return [dt, dd];
  });
}

async function take() {
  by("take-said").textContent = "Taking along …";
  if (!navigator.serviceWorker) {
    by("take-said").textContent = "This address is not a safe one (https), so the browser lets no page work without signal. Ask the office.";
    return;
  }
  const { word } = await ready().then(() => takeAlong(visit, document.body.dataset.user)).catch((error) => ({ word: error.reason ?? "broken" }));
  const stay = await askToStay();
  by("take-stays").textContent = stayWords({ ...stay, asked: true });
  if (!FAILED[word]) await show(); // what is here stands on the page before it is said to be here
  by("take-said").textContent = FAILED[word] ?? "It is on this phone now, and works without signal.";
  if (FAILED[word]) await show();
  else await import("./running.js"); // the first time, this page had no book to look after
}

// Pages are answered by the worker: without it in place nothing would start without signal.
async function ready() {
  await navigator.serviceWorker.register("/sw.js", { updateViaCache: "none" });
  await navigator.serviceWorker.ready;
}

async function leave() {
  const said = by("take-said");
  try {
    await leaveBehind(visit);
    said.textContent = "It is off this phone.";
  } catch (error) {
    said.textContent = error.reason === "unsent" ? "Something kept of this visit is not yet sent. Send it first, or settle what was refused." : FAILED.broken;
  }
  said.scrollIntoView({ block: "nearest" });
  await show();
}

document.querySelector("[data-take]").addEventListener("click", take);
document.querySelector("[data-leave]").addEventListener("click", leave);
loadClock().then(show).catch((error) => { by("take-said").textContent = FAILED[error.reason] ?? FAILED.broken; });
if (navigator.storage?.persisted) askToStay(false).then((stay) => { if (stay.persisted) by("take-stays").textContent = stayWords(stay); });
