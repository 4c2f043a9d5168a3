/* Sending what is kept: hello, the items in batches, then the photos in pieces. An item counts as sent when the server
   names it with its place in the chain, and not before. Whatever goes wrong, everything stays as it was. */
import { serverNow } from "./clock.js";
import { forgetOld, noteCount, noteResults, noteServer } from "./outbox.js";
import { sendPhotos } from "./photos.js";
import { ask, hello, refusal } from "./server.js";
import { ITEM_VERSION, allItems, announce, countNow, writeMeta } from "./store.js";

const BATCH_ITEMS = 200;
const BATCH_BYTES = 900 * 1024; // the entrance takes 1 MB

let running = null;

/** Send what can be sent. Resolves with {word, after, user, rested}: why it ended, after how many seconds the server
    may be asked again, whose sign-in it is, how many items came to rest. word: sent | offline | sign-in | other-user | other-server | old | later | waits | busy. */
export function flush(reason = "asked") {
  running ??= alone(reason).finally(() => { running = null; });
  return running;
}

// One tab sends at a time. Without locks the server's own guard against twice has to do.
const alone = (reason) => {
  if (!navigator.locks) return told(reason);
  return navigator.locks.request("logbook-send", { ifAvailable: true }, (lock) => (lock ? told(reason) : { word: "busy" }));
};

async function told(reason) {
  const outcome = await send();
  announce({ what: "flushed", reason, ...outcome });
  return outcome;
}

async function send() {
  const said = await hello((await countNow()).id);
  const before = await greeted(said);
  if (before) return before;
  const { user, csrf, epoch } = said.data;
  const { ended, rested } = await sendItems(user, csrf, epoch);
  const after = ended ?? (await sendPhotos(user, csrf, announce)) ?? { word: await restWord(user) };
  await forgetOld(serverNow());
  return { ...after, user, rested };
}

// What somebody else kept on this phone goes under their own sign-in alone.
async function restWord(user) {
  const left = await unsent();
  if (left.some((one) => one.user === user)) return "waits";
  return left.length ? "other-user" : "sent";
}

// What hello alone decides; null where sending may begin.
async function greeted({ status, data, after }) {
  if (status === 426) return { word: "old" };
  if (!data) return status ? { word: "later", after } : { word: "offline" };
  if ((await noteServer(data)) === "another") return { word: "other-server" };
  await noteCount(data.next);
  if (Number(data.oldest_version ?? 0) > ITEM_VERSION) return { word: "old" };
  if (!data.user) return { word: "sign-in" };
  return null;
}

const unsent = async () => (await allItems()).filter((one) => one.state === "kept");

async function sendItems(user, csrf, epoch) {
  const tried = new Set();
  for (let all = 0; ; ) {
    const mine = (await unsent()).filter((one) => one.user === user && !tried.has(one.id));
    const batch = batchOf(mine);
    if (!batch.length) return { rested: all };
    announce({ what: "sending", done: tried.size, total: tried.size + mine.length });
    const { ended, rested, took } = await sendBatch(batch, user, csrf, epoch);
    if (ended) return { ended, rested: all };
    all += rested;
    for (const one of took) tried.add(one.id);
    if (rested) for (const one of await unsent()) if (one.waits) tried.delete(one.id); // what it waited for may be there now
  }
}

// One count belongs to one device: a batch ends where another device's items begin.
function batchOf(records) {
  const batch = [];
  let size = 0;
  for (const record of records) {
    size += new Blob([JSON.stringify(record.item)]).size;
    const isOver = batch.length && (size > BATCH_BYTES || record.item.device !== batch[0].item.device);
    if (isOver || batch.length === BATCH_ITEMS) break;
    batch.push(record);
  }
  return batch;
}

async function sendBatch(batch, user, csrf, epoch) {
  const body = JSON.stringify({ device: batch[0].item.device, user, epoch, items: batch.map((one) => one.item) });
  const { status, data, after } = await ask("/phone/items/", { method: "POST", type: "application/json", csrf, body });
  if (status === 200) return noteBatch(batch, data);
  if (status !== 413 && status !== 422) return { ended: refusal(status, after) };
  if (batch.length > 1) return sendBatch(batch.slice(0, Math.ceil(batch.length / 2)), user, csrf, epoch);
  // the one item that spoils a batch is set apart, so that the rest can go
  return noteBatch(batch, { results: [{ id: batch[0].id, state: "refused", faults: { item: "The server cannot read it." } }] });
}

async function noteBatch(batch, { results, heads }) {
  const asked = new Set(batch.map((one) => one.id));
  const named = Array.isArray(results) ? results.filter((one) => asked.has(one?.id)) : [];
  const rested = await noteResults(named, serverNow());
  if (heads) await writeMeta({ key: "heads", heads });
  return { rested, took: batch };
}
