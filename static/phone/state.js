/* Where the data is, in words: one line on every page of a phone that keeps something. */
import { wordsOf } from "./outbox.js";
import { allItems, readMeta } from "./store.js";

const SIGN_IN = "/account/sign-in";
const HERE = "/phone/";

/** Return how many items stand where: {kept, refused, sent, others, first}; others: kept by somebody else. */
export async function summary(user) {
  const items = await allItems();
  const kept = items.filter((one) => one.state === "kept");
  const refused = items.filter((one) => one.state === "refused");
  const sent = items.filter((one) => one.state === "sent");
  return { kept: kept.length, refused, sent: sent.length, others: kept.filter((one) => user && one.user !== user) };
}

/** Return the line as parts: {lead, count, rest, link: [words, address], refused}. Pure: tests call it by itself. */
export function lineOf({ kept, refused, sent, others }, outcome, sending, lost) {
  if (lost && !lost.noted) return { lead: `The browser has cleared this phone’s book. Not sent by then: `, count: lost.unsent, rest: "", link: ["Show", HERE], refused: true };
  if (refused.length) return { lead: "Refused: ", count: refused.length, rest: `. ${wordsOf(refused[0].faults)}${keptToo(kept)}`, link: ["Settle", HERE], refused: true };
  if (sending && sending.total) return { lead: sending.photos ? "Sending photos, " : "Sending ", count: Math.min(sending.done + 1, sending.total), rest: ` of ${sending.total}`, link: ["Show", HERE] };
  if (kept) return { lead: "Kept on this phone, not yet sent: ", count: kept, ...whyKept(outcome, others) };
  return { lead: sent ? "Everything sent" : "Nothing kept on this phone yet", count: "", rest: "", link: ["Show", HERE] };
}

const keptToo = (kept) => (kept ? ` Not yet sent besides: ${kept}.` : "");

function whyKept(outcome, others) {
  const show = ["Show", HERE];
  if (outcome === "sign-in") return { rest: ". Sign in again to send.", link: ["Sign in", `${SIGN_IN}?next=${HERE}`] };
  if (outcome === "old") return { rest: ". These pages are too old to send. Load them again, or write a file.", link: show };
  if (outcome === "other-server") return { rest: ". This address is another logbook now. Nothing is sent to it.", link: show };
  if (others.length) return { rest: `. ${others.length} of ${names(others)}: sent when they sign in.`, link: show };
  if (outcome === "later") return { rest: ". The server cannot take it now.", link: show };
  if (outcome === "waits") return { rest: ". Some wait for what has not arrived.", link: show };
  return { rest: "", link: show };
}

const names = (records) => [...new Set(records.map((one) => one.name ?? one.user))].join(", ");

/** Write the line into the page, under its heading. */
export async function showState(outcome, sending) {
  const place = document.getElementById("phone-state");
  if (!place) return;
  const parts = lineOf(await summary(document.body.dataset.user), outcome, sending, await readMeta("lost"));
  const count = document.createElement("b");
  count.textContent = parts.count;
  const words = document.createElement("span");
  words.append(parts.lead, count, parts.rest);
  const link = document.createElement("a");
  [link.textContent, link.href] = parts.link;
  link.className = "plain";
  place.replaceChildren(words, link);
  place.classList.toggle("refused", Boolean(parts.refused));
  place.hidden = false;
  document.querySelector("main .head")?.after(place);
}
