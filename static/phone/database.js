/* The phone's database: its stores, one way to open it, one way to run a transaction. */

/** What a caller can act on: `reason` is full | photos-full | private | nobody | broken. */
export class StoreError extends Error {
  constructor(reason, cause) {
    super(cause ? `${reason}: ${cause.message ?? cause}` : reason, { cause });
    this.reason = reason;
  }
}

let opening = null;

function open() {
  opening ??= new Promise((done, fail) => {
    const request = indexedDB.open("logbook", 1); // throws where a browser has none: the promise then fails
    request.onupgradeneeded = () => makeStores(request.result);
    request.onerror = () => fail(request.error);
    request.onsuccess = () => {
      const forget = () => { opening = null; };
      request.result.onversionchange = () => { request.result.close(); forget(); };
      request.result.onclose = forget;
      done(request.result);
    };
  });
  opening.catch(() => { opening = null; });
  return opening;
}

function makeStores(database) {
  database.createObjectStore("items", { keyPath: "id" }).createIndex("visit", "visit");
  database.createObjectStore("photos", { keyPath: "sha256" });
  database.createObjectStore("packs", { keyPath: "visit" });
  database.createObjectStore("meta", { keyPath: "key" });
}

/** Return a request's result. Inside a transaction nothing else may be awaited: it would end. */
export const asked = (request) => new Promise((done, fail) => {
  request.onsuccess = () => done(request.result);
  request.onerror = () => fail(request.error);
});

/** Run `work(transaction)` and return its result once the transaction is on the phone's storage, or raise StoreError. */
export async function transact(stores, mode, work) {
  let transaction, result;
  try {
    // strict: complete means written through to storage, not merely handed to the system
    transaction = (await open()).transaction(stores, mode, { durability: "strict" });
  } catch (error) {
    throw new StoreError("private", error);
  }
  const finished = new Promise((done, fail) => {
    transaction.oncomplete = done;
    transaction.onabort = () => fail(transaction.error ?? new Error("aborted"));
  });
  try {
    result = await work(transaction);
    await finished;
  } catch (error) {
    finished.catch(() => {});
    try { transaction.abort(); } catch { /* it has ended by itself */ }
    throw new StoreError(isFull(error) || isFull(transaction.error) ? "full" : "broken", error);
  }
  return result;
}

const isFull = (error) => error?.name === "QuotaExceededError";

export const readMeta = (key) => transact(["meta"], "readonly", async (t) => await asked(t.objectStore("meta").get(key)));

export const writeMeta = (record) => transact(["meta"], "readwrite", async (t) => { t.objectStore("meta").put(record); });
