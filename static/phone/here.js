/* The page "On this phone": visits taken along, everything kept with its state, what was refused and how to settle it. */
import { clockNow, loadClock, serverNow } from "./clock.js";
import { exportFile, save } from "./file.js";
import { drop, offerAgain, wordsOf } from "./outbox.js";
import { allItems, allPacks, countNow, readMeta, subscribe, writeMeta } from "./store.js";
import { askToStay } from "./taking.js";
import { ago, nameOf, size, stayWords, wallWords } from "./words.js";

const by = (id) => document.getElementById(id);
const copy = (id) => by(id).content.firstElementChild.cloneNode(true);

async function show() {
  const [packs, items] = [await allPacks(), await allItems()];
  by("here-visits").replaceChildren(...packs.map(visitLine));
  by("here-none").hidden = packs.length > 0;
  by("here-items").replaceChildren(...groups(items, packs));
  await showPhone();
  await showLoss();
}

function visitLine(pack) {
  const line = copy("item-line");
  const link = document.createElement("a");
  [link.className, link.href] = ["line", `/visit/${pack.visit}/`];
  link.append(...line.querySelector(".line").childNodes);
  link.querySelector("strong").textContent = pack.title;
  link.querySelector("small").textContent = `taken along ${ago(pack.made_at, serverNow())} by ${pack.name} · ${size(pack.bytes)}`;
  line.querySelector(".line").replaceWith(link);
  return line;
}

// Refused ones first, for they wait on a person; then what is not sent; then what is.
const GRAVITY = { refused: 0, kept: 1, sent: 2, dropped: 2 };

function groups(items, packs) {
  if (!items.length) return [paragraph("Nothing yet.")];
  const visits = [...new Set(items.map((one) => one.visit))];
  return visits.flatMap((visit) => {
    const heading = document.createElement("h3");
    heading.textContent = packs.find((one) => one.visit === visit)?.title ?? "A visit that is not taken along now";
    const list = document.createElement("ol");
    list.className = "order";
    const mine = items.filter((one) => one.visit === visit).sort((a, b) => GRAVITY[a.state] - GRAVITY[b.state] || a.turn - b.turn);
    list.append(...mine.map(itemLine));
    return [heading, list];
  });
}

function itemLine(record) {
  const line = copy("item-line");
  line.querySelector(".no").textContent = record.item.n;
  line.querySelector("strong").textContent = nameOf(record);
  line.querySelector("small").textContent = `${wallWords(record.item.clock.wall)}, ${record.name ?? record.user} · ${stateWords(record)}`;
  if (record.state === "refused") line.querySelector(".line").append(settling(record));
  return line;
}

function stateWords(record) {
  if (record.state === "sent") return `sent, number ${record.receipt.sequence} in the site’s record`;
  if (record.state === "dropped") return "given up";
  if (record.state === "refused") return record.answer === "conflict" ? "refused: other content stands under its number" : "refused";
  return record.waits ? `not yet sent: waits. ${wordsOf(record.faults)}` : "not yet sent";
}

function settling(record) {
  const part = copy("settling");
  part.querySelector(".state").textContent = `Refused: ${wordsOf(record.faults) || "the server gave no reason."}`;
  const { check, subject } = record.item.body;
  const again = part.querySelector("[data-again]");
  again.href = check ? `/visit/${record.visit}/${check}:${subject}/` : `/visit/${record.visit}/`;
  if (!check) again.textContent = "To the visit";
  part.querySelector("[data-offer]").addEventListener("click", () => offerAgain(record.id));
  part.querySelector("[data-drop]").addEventListener("submit", (event) => giveUp(event, record));
  const field = part.querySelector("textarea");
  field.id = `why-${record.id}`;
  part.querySelector("label").htmlFor = field.id;
  return part;
}

async function giveUp(event, record) {
  event.preventDefault();
  const reason = event.target.querySelector("textarea").value.trim();
  const fault = event.target.querySelector(".error");
  fault.hidden = Boolean(reason);
  fault.textContent = "Say why.";
  if (reason) await drop(record, reason);
}

async function showPhone() {
  const { ahead_ms, bound_ms, zone } = clockNow();
  const clock = ahead_ms === null ? "not yet compared with the server’s" : `${Math.abs(Number(ahead_ms) / 1000).toFixed(1)} s ${Number(ahead_ms) < 0 ? "ahead of" : "behind"} the server’s, to within ${(Number(bound_ms) / 1000).toFixed(1)} s`;
  const stay = await askToStay(false);
  const facts = [["Clock", `${clock}; zone ${zone}`], ["Will it stay?", stayWords({ ...stay, asked: true })], ["Room taken", stay.usage === null ? "the browser does not say" : size(stay.usage)], ["Its number", (await countNow()).id]];
  by("here-phone").replaceChildren(...facts.flatMap(([term, words]) => [element("dt", term), element("dd", words)]));
}

async function showLoss() {
  const lost = await readMeta("lost");
  by("here-lost").hidden = !lost || lost.noted;
  by("here-lost").querySelector("p").textContent = lost ? `The browser has cleared what this phone had kept. Not sent by then: ${lost.unsent}. Look for it on paper and in the photo roll; take it again where you can.` : "";
}

function element(name, words) {
  const made = document.createElement(name);
  made.textContent = words;
  return made;
}
const paragraph = (words) => element("p", words);

async function writeFile(hand) {
  const file = await exportFile();
  by("here-file").textContent = file ? `${file.name}, ${size(file.size)}. What is in it stays on this phone as well.` : "Everything is sent; there is nothing to write.";
  if (file) await hand(file);
}

const canShare = () => Boolean(navigator.canShare?.({ files: [new File(["{}"], "a.json", { type: "application/json" })] }));

document.querySelector("[data-write-file]").addEventListener("click", () => writeFile(save));
const share = document.querySelector("[data-share-file]");
share.hidden = !canShare();
share.addEventListener("click", () => writeFile((file) => navigator.share({ files: [file] }).catch(() => {})));
document.querySelector("[data-lost-noted]").addEventListener("click", async () => { await writeMeta({ ...(await readMeta("lost")), noted: true }); await show(); });
loadClock().then(show);
subscribe(show);
