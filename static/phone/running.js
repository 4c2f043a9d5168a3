/* What every page of a phone with a book does: show where the data is, send what can be sent, keep bundles fresh,
   start the pages of a visit that was taken along, and let pages go when a person signs out. */
import { loadClock, serverNow } from "./clock.js";
import { flush } from "./send.js";
import { showState } from "./state.js";
import { allItems, allPacks, readMeta, subscribe, writeMeta } from "./store.js";
import { forgetPages, refreshPacks } from "./taking.js";
import { ago } from "./words.js";

const FIRST_WAIT = 5000, LONGEST_WAIT = 5 * 60000; // ms between tries, doubled from one to the next
const GREETED = 60000; // ms in which an empty book need not greet again
let outcome = "", timer = 0, failures = 0;

async function start() {
  navigator.serviceWorker?.register("/sw.js", { updateViaCache: "none" }).catch(() => {});
  await loadClock();
  await noteUser(document.body.dataset.user);
  await showState(outcome);
  subscribe(onMessage);
  listen();
  await startVisit(document.body.dataset.visit).catch((error) => console.error(error)); // sending goes on without it
  await open();
}

function listen() {
  addEventListener("online", () => send("online"));
  addEventListener("pageshow", (event) => { if (event.persisted) open(); });
  document.addEventListener("visibilitychange", () => { if (document.visibilityState === "visible") open(); });
  document.addEventListener("click", (event) => { if (event.target.closest("[data-send-now]")) send("button"); });
  document.addEventListener("submit", (event) => { if (event.target.matches("form[action='/account/sign-out']")) signOut(event); });
}

// A page of another person means that somebody else has signed in: the former one's pages are not theirs to read.
async function noteUser(user) {
  if (!user || (await readMeta("user"))?.user === user) return;
  await forgetPages((owner) => owner === user);
  await writeMeta({ key: "user", user });
}

async function signOut(event) {
  event.preventDefault();
  await forgetPages().catch(() => {});
  event.target.submit();
}

// A page belongs to a visit by its own word, or because it came along with one, as the as-built record does.
async function startVisit(visit) {
  const user = document.body.dataset.user;
  const mine = (await allPacks()).filter((one) => one.user === user).sort((a, b) => b.made_at - a.made_at);
  const taken = mine.find((one) => (visit ? one.visit === visit && isOfIt(one) : one.paths.includes(location.pathname)));
  if (!taken) return;
  const link = document.querySelector("[data-take-link]");
  if (link) link.textContent = `Taken along ${ago(taken.made_at, serverNow())}`;
  const { overlay } = await import("./overlay.js");
  await overlay(taken);
}

// The desk's pages about a visit (acceptance, a sheet) are none of its own: their forms go to the server.
const isOfIt = (one) => location.pathname.startsWith(`/visit/${one.visit}/`) || one.paths.includes(location.pathname);

async function onMessage(message) {
  if (message.what === "flushed" && message.word !== "busy") outcome = message.word;
  await showState(outcome, message.what === "sending" ? message : null);
  if (message.what === "items" && message.visit) wait(300); // just kept: send it if there is signal
}

async function open() {
  const isQuiet = Date.now() - Number(sessionStorage.getItem("greeted") ?? 0) < GREETED;
  const unsent = (await allItems()).some((one) => one.state === "kept");
  if (unsent || !isQuiet) await send("opening");
}

async function send(reason) {
  clearTimeout(timer);
  const { word, after = 0, user, rested } = await flush(reason);
  await noteUser(user);
  if (["offline", "later", "waits"].includes(word)) return waitLonger(after);
  failures = 0;
  if (user) sessionStorage.setItem("greeted", String(Date.now()));
  if (user) await refreshPacks(user, rested ? 0 : 10 * 60000);
  return undefined;
}

function waitLonger(after) {
  failures += 1;
  const pause = Math.min(FIRST_WAIT * 2 ** (failures - 1), LONGEST_WAIT) * (0.5 + Math.random()); // not all phones at once
  wait(Math.max(pause, after * 1000));
}

function wait(pause) {
  clearTimeout(timer);
  timer = setTimeout(send, pause, "again");
}

start().catch((error) => showFailure(error));

function showFailure(error) {
  const place = document.getElementById("phone-state");
  if (!place) return;
  place.textContent = error.reason === "private"
    ? "This browser lets nothing be kept, as in a private window. Use paper, or another browser."
    : "The phone’s book cannot be opened. Nothing is kept here now. Load the page again.";
  place.classList.add("refused");
  place.hidden = false;
}
