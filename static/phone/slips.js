/* The commonest slips behind an implausible reading, as commissioning/units/slips.py finds them: another unit, another
   zero, a lost point. Units are data of the pack. */
import { plain, toCore, withSymbol } from "./figures.js";

const STANDARD_ATMOSPHERE = 101325; // Pa, ISO 2533
const FEW_ATMOSPHERES = 3; // above that, one atmosphere more or less explains nothing
const NO_POWERS = ["temperature", "latitude", "longitude"];

/** Compare with a breath of room, or 12 in would lie below a limit of 0.3048 m. */
export function isOutside(core, [low, high]) {
  const room = 1e-9 * Math.max(Math.abs(core), Math.abs(low), Math.abs(high));
  return !(low - room <= core && core <= high + room);
}

/** Return {words, cure} of the commonest slip that explains a value outside the usual range, or null. */
export function likelySlip(value, chosen, quantity, units, usual) {
  if (!isOutside(toCore(value, chosen), usual)) return null;
  for (const look of [otherUnit, lostSign, absoluteForGauge, wrongPower]) {
    const found = look(value, chosen, quantity, units, usual);
    if (found) return found;
  }
  return null;
}

function cureOf(value, unit) {
  const text = plain(value);
  return { text, unit: unit.code, label: withSymbol(text, unit.symbol) };
}

function otherUnit(value, chosen, quantity, units, usual) {
  const ranked = [...units].sort((a, b) => a.rank - b.rank);
  const found = ranked.filter((one) => one.code !== chosen.code && !isOutside(toCore(value, one), usual));
  if (!found.length) return null;
  const best = found.reduce((a, b) => (isLess(unlikeliness(value, b, usual), unlikeliness(value, a, usual)) ? b : a));
  const cure = cureOf(value, best);
  return { words: `${cureOf(value, chosen).label}? ${cure.label} would be usual.`, cure };
}

const isLess = (a, b) => a[0] < b[0] || (a[0] === b[0] && a[1] < b[1]);

// The units people use daily first, then by how ordinary the value would be.
function unlikeliness(value, unit, [low, high]) {
  const core = toCore(value, unit);
  const rare = unit.daily ? 0 : 1;
  if (low <= 0 || core <= 0) return [rare, Math.abs(core - (low + high) / 2)];
  return [rare, Math.abs(Math.log(core) - (Math.log(low) + Math.log(high)) / 2)];
}

function lostSign(value, chosen, quantity, units, usual) {
  if (isOutside(toCore(-value, chosen), usual)) return null;
  const cure = cureOf(-value, chosen);
  return { words: `${cure.label} would be usual: is the sign right?`, cure };
}

function absoluteForGauge(value, chosen, quantity, units, usual) {
  const core = toCore(value, chosen);
  const limit = quantity === "gauge_pressure" ? FEW_ATMOSPHERES * STANDARD_ATMOSPHERE : -Infinity;
  if (core > limit || isOutside(core - STANDARD_ATMOSPHERE, usual)) return null;
  return { words: "One atmosphere less would be usual: does it show absolute pressure? Open to the air, a gauge must read 0.", cure: null };
}

function wrongPower(value, chosen, quantity, units, usual) {
  if (NO_POWERS.includes(quantity)) return null;
  for (const power of [-1, 1, -3, 3, -2, 2]) {
    const meant = power > 0 ? value * 10 ** power : value / 10 ** -power;
    if (!isOutside(toCore(meant, chosen), usual)) {
      const cure = cureOf(meant, chosen);
      return { words: `${cure.label} would be usual: is the point in its place?`, cure };
    }
  }
  return null;
}
