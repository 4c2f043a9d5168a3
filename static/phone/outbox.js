/* What becomes of an item: kept → sent, or refused until a person settles it. Nothing is deleted because it was sent:
   a server put back from a backup asks for it again. */
import { asked, transact } from "./database.js";
import { RETAIN, keep, newId, tell } from "./store.js";

const BOTH = ["items", "photos"];

/** Write what the server answered to a batch; return how many came to rest. Only a receipt makes an item sent. */
export async function noteResults(results, sentAt) {
  const settled = await transact(["items"], "readwrite", async (t) => {
    const items = t.objectStore("items");
    let count = 0;
    for (const result of results) {
      const record = await asked(items.get(String(result?.id)));
      if (!record || record.state !== "kept") continue;
      const after = answered(record, result, sentAt);
      items.put(after);
      if (after.state !== "kept") count += 1;
    }
    return count;
  });
  await tell({ what: "items" });
  return settled;
}

function answered(record, result, sentAt) {
  const { state, receipt, faults } = result;
  if ((state === "stored" || state === "duplicate") && receipt?.hash) return { ...record, state: "sent", receipt, sent_at: sentAt, faults: null, waits: false };
  if (state === "refused" || state === "conflict") return { ...record, state: "refused", answer: state, faults: faults ?? {}, waits: false };
  return { ...record, waits: state === "waits", faults: faults ?? null }; // not understood, or not yet: it stays
}

/** Take in who answers: another epoch means that the server may have lost what it had, so all is offered again. */
export async function noteServer({ server, epoch }) {
  return transact([...BOTH, "meta"], "readwrite", async (t) => {
    const meta = t.objectStore("meta");
    const known = await asked(meta.get("server"));
    const items = await asked(t.objectStore("items").getAll());
    if (known && known.server !== server && items.length) return "another";
    if (known?.server === server && known.epoch === epoch) return "same";
    meta.put({ key: "server", server, epoch });
    for (const one of items) if (one.state === "sent") t.objectStore("items").put({ ...one, state: "kept", sent_at: null });
    for (const one of await asked(t.objectStore("photos").getAll())) t.objectStore("photos").put({ ...one, done: false });
    return "new";
  });
}

/** If the server has had higher numbers from this phone than it knows of, its storage was put back: count as a new one. */
export async function noteCount(next) {
  await transact(["meta"], "readwrite", async (t) => {
    const device = await asked(t.objectStore("meta").get("device"));
    if (device && Number(next?.[device.id] ?? 0) > device.next) t.objectStore("meta").put({ ...device, id: newId(), next: 1 });
  });
}

export const notePhotoDone = (sha256) => transact(["photos"], "readwrite", async (t) => {
  const stored = await asked(t.objectStore("photos").get(sha256));
  if (stored) t.objectStore("photos").put({ ...stored, done: true });
});

/** Let go of what was sent longer ago than RETAIN and whose photos have arrived. `now` is the server's time [ms]. */
export async function forgetOld(now) {
  await transact(BOTH, "readwrite", async (t) => {
    const photos = await asked(t.objectStore("photos").getAll());
    const owed = new Set(photos.filter((one) => !one.done).map((one) => one.sha256));
    const isOver = (one) => ["sent", "dropped"].includes(one.state) && now - one.sent_at > RETAIN && !one.photos.some((hash) => owed.has(hash));
    const items = await asked(t.objectStore("items").getAll());
    const needed = new Set(items.filter((one) => !isOver(one)).flatMap((one) => one.photos));
    for (const one of items.filter(isOver)) t.objectStore("items").delete(one.id);
    for (const one of photos) if (!needed.has(one.sha256)) t.objectStore("photos").delete(one.sha256);
  });
}

/** Offer a refused item once more, after what was in its way has been put right. */
export const offerAgain = (id) => change(id, { state: "kept", faults: null, answer: null });

/** Give up a refused item, with a reason; that it was given up is evidence too. */
export async function drop(record, reason) {
  const body = { visit: record.visit, item: record.id, digest: record.item.digest, kind: record.kind, faults: wordsOf(record.faults), reason };
  const given = await keep({ kind: "item.dropped", site: record.item.site, visit: record.visit, user: record.user, name: record.name, body, label: `Given up: ${record.label || record.kind}` });
  await change(record.id, { state: "dropped", dropped_by: given.id, sent_at: Date.now() });
}

async function change(id, fields) {
  await transact(["items"], "readwrite", async (t) => {
    const record = await asked(t.objectStore("items").get(id));
    if (record?.state === "refused") t.objectStore("items").put({ ...record, ...fields });
  });
  await tell({ what: "items" });
}

/** Return faults as words: "Level: is not a number." */
export const wordsOf = (faults) => (typeof faults === "string" ? faults : Object.values(faults ?? {}).join(" "));
