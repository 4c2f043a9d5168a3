/* What the phone's clock says, and how far it is from the server's. The wall time is kept as it is, right or wrong;
   the estimate stands beside it as evidence. Order never comes from here: it comes from the phone's own count. */
import { readMeta, writeMeta } from "./database.js";

const DRIFT = 1e-4; // s per s that a phone's crystal may run away; from memory: ± 100 ppm is a poor one
let estimate = null; // {ahead, bound, at}: ms that the server is ahead, ± bound, and the phone's time of that

/** Load what an earlier page has found; call it once before `clockNow`. */
export async function loadClock() {
  estimate = (await readMeta("clock"))?.estimate ?? null;
}

/** Return wall time with its offset from UTC, the zone's name, and the estimated error of the clock. */
export function clockNow() {
  const now = Date.now();
  const bound = boundAt(now);
  return {
    wall: wallTime(new Date(now)),
    zone: Intl.DateTimeFormat().resolvedOptions().timeZone ?? "",
    ahead_ms: bound === null ? null : String(Math.round(estimate.ahead)),
    bound_ms: bound === null ? null : String(Math.ceil(bound)),
  };
}

// The longer ago, the wider; set back behind the moment of the estimate, a clock has no estimate any more.
function boundAt(now) {
  if (!estimate || now < estimate.at - estimate.bound) return null;
  return estimate.bound + DRIFT * Math.max(0, now - estimate.at);
}

export function wallTime(date) {
  const offset = -date.getTimezoneOffset();
  const local = new Date(date.getTime() + offset * 60000).toISOString().slice(0, -1);
  const two = (number) => String(number).padStart(2, "0");
  const size = Math.abs(offset);
  return `${local}${offset < 0 ? "-" : "+"}${two(Math.floor(size / 60))}:${two(size % 60)}`;
}

/** Take in one probe: sent at `before`, answered at `after` (phone, ms), the server's time in between (ms). */
export async function noteProbe(before, after, server) {
  const bound = Math.max(1, (after - before) / 2);
  const found = { ahead: server - (before + after) / 2, bound, at: after };
  if (!isWorse(found)) {
    estimate = found;
    await writeMeta({ key: "clock", estimate });
  }
  return estimate;
}

// An earlier, narrower probe stands; but where the two cannot both be true the clock was set, and the new one counts.
function isWorse(found) {
  const before = boundAt(found.at);
  if (before === null || Math.abs(found.ahead - estimate.ahead) > found.bound + before) return false;
  return before <= found.bound;
}

/** Return whether another probe would tell more: none yet, a wide one, or one from long ago. */
export function wantsProbe() {
  const bound = boundAt(Date.now());
  return bound === null || bound > 500;
}

/** Return the server's time as well as the phone knows it [ms]. */
export const serverNow = () => Date.now() + (estimate?.ahead ?? 0);
