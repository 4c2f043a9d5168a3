/* How the phone asks the server: with a time limit, never following a redirect, and believing only our own JSON.
   A gate that asks for a sign-in, or a network's own welcome page, answers 200 with HTML: that is no answer. */
import { noteProbe, wantsProbe } from "./clock.js";

const PATIENCE = 30000; // ms for a request that carries something
const HELLO_PATIENCE = 8000;

/** Return {status, data, after}: data is our JSON or null, status 0 where nothing of ours came back. */
export async function ask(path, { method = "GET", body, csrf, type, patience = PATIENCE } = {}) {
  const headers = { Accept: "application/json", ...(csrf && { "X-CSRFToken": csrf }), ...(type && { "Content-Type": type }) };
  const nothing = { status: 0, data: null, after: 0 };
  try {
    const answer = await fetch(path, { method, body, headers, redirect: "manual", cache: "no-store", credentials: "same-origin", signal: AbortSignal.timeout(patience) });
    const data = await answer.json().catch(() => null);
    const isOurs = data?.logbook === 1;
    if (!isOurs && answer.ok) return nothing;
    return { status: answer.status, data: isOurs ? data : null, after: Number(answer.headers.get("Retry-After")) || 0 };
  } catch {
    return nothing;
  }
}

/** Say hello: who is signed in, a fresh CSRF token, the server's epoch; and compare the clocks, some times if need be. */
export async function hello(device) {
  let answer = await probe(device);
  for (let more = 0; more < 4 && answer.data && wantsProbe(); more += 1) answer = await probe(device);
  return answer;
}

async function probe(device) {
  const [before, start] = [Date.now(), performance.now()];
  const answer = await ask(`/phone/hello/?device=${device}`, { patience: HELLO_PATIENCE });
  const after = before + (performance.now() - start); // a clock set in between would spoil the difference
  const server = Date.parse(answer.data?.time);
  if (Number.isFinite(server)) await noteProbe(before, after, server);
  return answer;
}

/** Return how sending ended when a request was not answered with 200: {word, after}. */
export function refusal(status, after) {
  const words = { 0: "offline", 401: "sign-in", 409: "other-user", 426: "old" };
  return { word: words[status] ?? "later", after };
}
