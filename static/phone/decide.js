/* The decision rule of sizing/verdict.py, after JCGM 106:2012: from a value, its uncertainty and its limits to a
   verdict. Both run the same vectors. */

export const COVERAGE = 2; // U = k·u: JCGM 100:2008, 6.3.3
const NEGLIGIBLE = 0.05;
const GRAVITY = ["within", "unjudged", "borderline", "outside"];

/** Return the gravest of several verdicts; unjudged if there are none. */
export const gravest = (verdicts) => GRAVITY[Math.max(...verdicts.map((one) => GRAVITY.indexOf(one)), -1)] ?? "unjudged";

const said = (verdict, reason = "") => ({ verdict, reason });

/** Return {verdict, reason} of a value with expanded uncertainty `spread`; a limit that is not there is null. */
export function decide(value, spread, { lower = null, upper = null, nominal = null, bearable = null }, bound = "") {
  if (lower === null && upper === null) return said("unjudged", "no limit can be computed");
  if (bound) return decideBound(value, bound, lower, upper);
  const [low, high] = [value - spread, value + spread];
  if ((lower !== null && high < lower) || (upper !== null && low > upper)) return said("outside", "the whole interval lies beyond the limit");
  const isInside = (lower === null || value >= lower) && (upper === null || value <= upper);
  const room = roomOf(lower, upper, nominal, bearable);
  if (isInside && room !== null && room === bearable && spread > room) return said("unjudged", "the instrument is too coarse for this check");
  if ((lower === null || low >= lower) && (upper === null || high <= upper)) return said("within");
  if (isInside && room !== null && spread <= NEGLIGIBLE * room) return said("within");
  if (isInside && room !== null && spread > room) return said("unjudged", "conditions too uncertain");
  return said("borderline", "the uncertainty reaches across the limit");
}

function roomOf(lower, upper, nominal, bearable) {
  if (lower !== null && upper !== null) return (upper - lower) / 2;
  const limit = lower ?? upper;
  return nominal !== null && nominal !== limit ? Math.abs(nominal - limit) : bearable;
}

// Only what holds for every value beyond the bound is said.
function decideBound(value, bound, lower, upper) {
  if (bound === ">") {
    if (upper !== null && value >= upper) return said("outside", "the true value lies above the limit");
    if (lower !== null && value >= lower && upper === null) return said("within");
  } else {
    if (lower !== null && value <= lower) return said("outside", "the true value lies below the limit");
    if (upper !== null && value <= upper && lower === null) return said("within");
  }
  return said("unjudged", "the reading is a bound, and the limit lies beyond it");
}
