/* The service worker. Served as /sw.js with some lines before this text: VERSION, a hash of the assets' content,
   ASSETS, their addresses, STATIC, what their addresses begin with, and two pages: SHELL and ELSEWHERE. It stores nothing that it happens to see: assets come in when it is installed, pages when a
   visit is taken along (taking.js). So no redirect, sign-in page or half answer can ever be kept under another name. */
/* global VERSION, ASSETS, STATIC, SHELL, ELSEWHERE */
"use strict";

const ASSET_CACHE = `assets-${VERSION}`;
const PATIENCE = { here: 4000, elsewhere: 20000 }; // ms; a network that stalls is no network, if the page is here

addEventListener("install", (event) => event.waitUntil(install()));
addEventListener("activate", (event) => event.waitUntil(activate()));
addEventListener("fetch", (event) => {
  const request = event.request;
  const address = new URL(request.url);
  if (request.method !== "GET" || address.origin !== location.origin) return; // what is sent never passes here
  if (ASSETS.includes(address.pathname) || address.pathname.startsWith(STATIC)) {
    event.respondWith(asset(request));
  } else if (request.mode === "navigate" || request.headers.has("HX-Boosted")) {
    event.respondWith(page(request, address));
  } else if (address.pathname.startsWith("/photo/")) {
    event.respondWith(taken(address).then((found) => found ?? fetch(request)));
  }
});

async function install() {
  const cache = await caches.open(ASSET_CACHE);
  // no-cache asks the server whether the browser's own copy still holds: an unchanged file costs a few bytes
  await Promise.all(ASSETS.map(async (address) => {
    const answer = await fetch(address, { cache: "no-cache", credentials: "omit" });
    if (!answer.ok || answer.redirected) throw new Error(`${address} answered ${answer.status}`);
    await cache.put(address, answer);
  }));
  await skipWaiting();
}

// The former release's assets stay: a page taken along with it asks for them by their names.
async function activate() {
  const names = (await caches.keys()).filter((name) => name.startsWith("assets-") && name !== ASSET_CACHE);
  await Promise.all(names.slice(0, -1).map((name) => caches.delete(name)));
  await clients.claim();
}

async function asset(request) {
  const address = new URL(request.url).pathname;
  const current = await caches.open(ASSET_CACHE);
  return (await current.match(address)) ?? (await caches.match(address)) ?? fetch(request);
}

// A visit taken along is answered from the phone always, with or without signal; all else from the network.
async function page(request, address) {
  const own = await taken(address);
  if (own) return own;
  const isStart = address.pathname === "/" || address.pathname === SHELL;
  try {
    return await Promise.race([fetch(request), stall(isStart ? PATIENCE.here : PATIENCE.elsewhere)]);
  } catch {
    const current = await caches.open(ASSET_CACHE);
    return (await current.match(isStart ? SHELL : ELSEWHERE)) ?? Response.error();
  }
}

const stall = (patience) => new Promise((_, fail) => { setTimeout(fail, patience, new Error("no answer")); });

// The newest bundle that was written to its end; an older or half-written one is not looked at.
async function taken(address) {
  const seen = new Set();
  for (const name of (await caches.keys()).reverse()) {
    const visit = name.match(/^visit-([0-9a-f-]{36})-/)?.[1];
    if (!visit || seen.has(visit)) continue;
    const cache = await caches.open(name);
    if (!(await cache.match("/complete"))) continue;
    seen.add(visit);
    const found = await cache.match(address.pathname, { ignoreVary: true });
    if (found) return found;
  }
  return undefined;
}
