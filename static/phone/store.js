/* The phone's own book. Everything kept on site is one item: evidence with an id and a place in this phone's own count,
   written with its photos in one transaction. It stays here after it was sent, for as long as RETAIN says. */
import { canonicalJson, digest } from "./canonical.js";
import { clockNow, loadClock } from "./clock.js";
import { layBallast, withBallast } from "./ballast.js";
import { StoreError, asked, readMeta, transact, writeMeta } from "./database.js";

export { StoreError, loadClock, readMeta };

export const ITEM_VERSION = 1;
export const RETAIN = 30 * 24 * 3600 * 1000; // ms after sending; longer than the oldest backup that is put back
const SENTINEL = "logbook-phone"; // outside the database: tells that there was one

/** Keep one piece of evidence; resolves with the item once it is on the phone's storage.
    photos: [{blob, id, media_type, width, height, caption}]; label: what lists print; user: the person's handle. */
export async function keep({ kind, site, visit, body, photos = [], shown, label = "", user = document.body.dataset.user, name = document.body.dataset.name }) {
  if (!user) throw new StoreError("nobody");
  const pictures = await Promise.all(photos.map((one) => pictureOf(one, user)));
  if (pictures.length) await layBallast();
  const whole = kind === "measurement.taken" && pictures.length ? { ...body, photos: pictures.map((one) => one.said) } : body;
  const content = { v: ITEM_VERSION, id: newId(), user, site, kind, body: whole, clock: clockNow(), ...(shown && { shown }) };
  for (;;) {
    const count = await countNow();
    const item = await sealed({ ...content, device: count.id, n: count.next });
    const record = {
      id: item.id, turn: count.turn, user, name, visit, kind, label, item,
      state: "kept", photos: pictures.map((one) => one.sha256),
    };
    if (await withBallast(pictures, () => written(record, pictures, count))) {
      await tell({ what: "items", visit });
      return item;
    }
  }
}

async function sealed(item) {
  return { ...item, digest: await digest(canonicalJson(item)) };
}

// Another tab may have taken this number between reading and writing: then nothing is written and the next one is tried.
function written(record, pictures, count) {
  return transact(["items", "photos", "meta"], "readwrite", async (t) => {
    const meta = t.objectStore("meta");
    const device = await asked(meta.get("device"));
    if (device.id !== count.id || device.next !== count.next) return false;
    meta.put({ ...device, next: device.next + 1, turn: device.turn + 1 });
    t.objectStore("items").add(record);
    for (const { said, ...picture } of pictures) t.objectStore("photos").put(picture);
    return true;
  });
}

async function pictureOf({ blob, id = newId(), media_type = blob.type, width, height, caption = "" }, user) {
  const bytes = await blob.arrayBuffer();
  const sha256 = await digest(bytes);
  const said = { id, sha256, media_type, width, height, caption };
  return { sha256, media_type, bytes, size: bytes.byteLength, user, done: false, said };
}

/** Return {id, next, turn}: which phone this is, the number its next item will have, its place in this book. */
export async function countNow() {
  const known = await readMeta("device");
  if (known) return known;
  const fresh = newId();
  return transact(["meta"], "readwrite", async (t) => {
    const meta = t.objectStore("meta");
    const made = await asked(meta.get("device")); // by another tab, in between
    if (made) return made;
    const device = { key: "device", id: fresh, next: 1, turn: 1 };
    meta.put(device);
    noteLoss(meta);
    return device;
  });
}

// The browser has cleared the database although something was kept in it: said, never passed over.
function noteLoss(meta) {
  const before = sentinel();
  if (before?.device) meta.put({ key: "lost", device: before.device, unsent: before.unsent, at: before.at });
}

/** Return what was noted outside the database, or null on a phone that never kept anything. */
export function sentinel() {
  try { return JSON.parse(localStorage.getItem(SENTINEL)); } catch { return null; }
}

/** Tell every tab of this phone, and renew the note outside the database. */
export async function tell(message) {
  const { id } = await countNow();
  const unsent = (await allItems()).filter((one) => one.state === "kept").length;
  try { localStorage.setItem(SENTINEL, JSON.stringify({ device: id, unsent, at: Date.now() })); } catch { /* no room */ }
  announce(message);
}

const channel = globalThis.BroadcastChannel ? new BroadcastChannel("logbook") : null;
const listeners = new Set();

/** Call `listener` with every message of this tab and the others; return what ends it. */
export function subscribe(listener) {
  listeners.add(listener);
  return () => listeners.delete(listener);
}

export function announce(message) {
  channel?.postMessage(message);
  for (const listener of listeners) listener(message);
}
channel?.addEventListener("message", ({ data }) => { for (const listener of listeners) listener(data); });

const inOrder = (records) => records.sort((a, b) => a.turn - b.turn);

/** Return what is kept of a visit, in this phone's own order. */
export const itemsOf = async (visit) =>
  inOrder(await transact(["items"], "readonly", (t) => asked(t.objectStore("items").index("visit").getAll(visit))));

export const allItems = async () => inOrder(await transact(["items"], "readonly", (t) => asked(t.objectStore("items").getAll())));

/** Return the photo {sha256, media_type, bytes, size, done} or undefined. */
export const photo = (sha256) => transact(["photos"], "readonly", (t) => asked(t.objectStore("photos").get(sha256)));

export const pack = (visit) => transact(["packs"], "readonly", (t) => asked(t.objectStore("packs").get(visit)));

export const allPacks = () => transact(["packs"], "readonly", (t) => asked(t.objectStore("packs").getAll()));

/** Keep what was taken along of a visit; `record.visit` names it. */
export async function savePack(record) {
  await transact(["packs"], "readwrite", async (t) => { t.objectStore("packs").put(record); });
  await tell({ what: "packs", visit: record.visit });
}

export async function removePack(visit) {
  await transact(["packs"], "readwrite", async (t) => { t.objectStore("packs").delete(visit); });
  await tell({ what: "packs", visit });
}

/** A UUID; `randomUUID` is missing where the address is not safe. */
export function newId() {
  if (crypto.randomUUID) return crypto.randomUUID();
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  bytes[6] = (bytes[6] & 15) | 64;
  bytes[8] = (bytes[8] & 63) | 128;
  const text = [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  return text.replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, "$1-$2-$3-$4-$5");
}

export { writeMeta };
