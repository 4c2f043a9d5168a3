/* Taking a visit along: its pages and data in one bundle from the server, pages into the cache that the worker reads,
   data into the database. A bundle counts once it is whole; the former one stands until then. */
import { StoreError, allPacks, itemsOf, pack, removePack, savePack } from "./store.js";
import { serverNow } from "./clock.js";

const PATIENCE = 180000; // ms: a bundle over a thin signal, or one whose tables are made for the first time

/** Take a visit along, or again, for a person; resolves with {word}:
    taken | same | offline | failed | sign-in | not-yours | full. */
export async function takeAlong(visit, user) {
  const before = await pack(visit);
  const answer = await bundle(visit, before);
  if (answer.word) return answer;
  const { data, headers, bytes } = answer;
  const name = `visit-${visit}-${Date.now()}`;
  try {
    const pictures = await writePages(name, data, headers);
    const { pages, ...rest } = data;
    await savePack({
      visit, site: data.site, user, name: data.name, title: `${data.site_name}, ${data.kind} visit`, made_at: serverNow(),
      bytes: bytes + pictures, etag: headers.get("ETag"), paths: Object.keys(pages), data: rest,
    });
  } catch (error) {
    await caches.delete(name);
    const isFull = error.name === "QuotaExceededError" || error.reason === "full";
    return { word: isFull ? "full" : error.reason ?? "broken" };
  }
  await forgetBundles(visit, name);
  return { word: "taken" };
}

async function bundle(visit, before) {
  const headers = { Accept: "application/json", ...(before?.etag && { "If-None-Match": before.etag }) };
  try {
    const answer = await fetch(`/phone/pack/${visit}/`, { headers, redirect: "manual", cache: "no-store", credentials: "same-origin", signal: AbortSignal.timeout(PATIENCE) });
    if (answer.status === 304) return { word: "same" };
    if (answer.status === 401) return { word: "sign-in" };
    if (answer.status === 404) return { word: "not-yours" };
    if (answer.status >= 500) return { word: "failed" };
    const text = await answer.text();
    const data = JSON.parse(text);
    if (!answer.ok || data.logbook !== 1 || !data.pages) return { word: "offline" };
    return { data, headers: answer.headers, bytes: new Blob([text]).size };
  } catch {
    return { word: "offline" };
  }
}

// Pages carry the policy that the server gives every page; the mark of completeness goes in last.
async function writePages(name, data, from) {
  const cache = await caches.open(name);
  const headers = { "Content-Type": "text/html; charset=utf-8", "Content-Security-Policy": from.get("Content-Security-Policy") ?? "default-src 'self'" };
  for (const [path, html] of Object.entries(data.pages)) await cache.put(path, new Response(html, { headers }));
  let bytes = 0;
  for (const one of data.photos ?? []) bytes += await writePicture(cache, one.url);
  await cache.put("/complete", new Response(String(Date.now())));
  return bytes;
}

// A picture that does not come is no reason to leave the visit behind.
async function writePicture(cache, path) {
  const answer = await fetch(path, { redirect: "manual", credentials: "same-origin", signal: AbortSignal.timeout(PATIENCE) }).catch(() => null);
  if (!answer?.ok) return 0;
  const bytes = await answer.arrayBuffer();
  await cache.put(path, new Response(bytes, { headers: { "Content-Type": answer.headers.get("Content-Type") ?? "image/jpeg" } }));
  return bytes.byteLength;
}

async function forgetBundles(visit, except = "") {
  for (const name of await caches.keys()) {
    if (name.startsWith(`visit-${visit}`) && name !== except) await caches.delete(name);
  }
}

/** Remove a visit from the phone; refused while something of it is unsent. */
export async function leaveBehind(visit) {
  const waiting = (await itemsOf(visit)).filter((one) => one.state === "kept" || one.state === "refused");
  if (waiting.length) throw new StoreError("unsent");
  await removePack(visit);
  await forgetBundles(visit);
}

/** Signing out, or somebody else signing in: pages and data go, what was kept stays. */
export async function forgetPages(except = () => false) {
  for (const { visit, user } of await allPacks()) if (!except(user)) {
    await removePack(visit);
    await forgetBundles(visit);
  }
}

/** Bring this person's bundles up to date while there is signal: those older than `age` [ms]. */
export async function refreshPacks(user, age) {
  for (const one of await allPacks()) {
    if (one.user === user && serverNow() - one.made_at >= age) await takeAlong(one.visit, user);
  }
}

/** Ask the browser not to clear what is here; returns {persisted, installed, usage}. The quota that browsers name today
    is not the room there is, so it is not passed on. */
export async function askToStay(isAsking = true) {
  const storage = navigator.storage;
  const persisted = (await storage?.persisted?.()) || (isAsking && (await storage?.persist?.())) || false;
  const { usage = null } = (await storage?.estimate?.()) ?? {};
  return { persisted, installed: matchMedia("(display-mode: standalone)").matches || navigator.standalone === true, usage };
}
