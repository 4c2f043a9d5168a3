/* The uncertainty of one reading: what the instrument states, or is usual for its kind, together with the last digit.
   The arithmetic of commissioning/accuracy.py; the statements are data of the pack, and both run the same cases. */
import { fromCore, unitOf } from "./figures.js";

const ROOT_OF_THREE = Math.sqrt(3); // of a rectangular distribution: JCGM 100:2008, 4.3.7

/** Return the standard uncertainty of a reading in its core unit. */
export function readingUncertainty({ typed, unit: code, value }, input, instrument, units) {
  if (value === null) return 0;
  const unit = unitOf(units, code);
  const own = instrument && isStated(instrument) ? stated(value, instrument, units) : usual(value, input.usual);
  return Math.hypot(own / ROOT_OF_THREE, (halfADigit(typed) * unit.factor) / ROOT_OF_THREE);
}

const usual = (value, [ofReading, fixed]) => Math.abs(value) * ofReading + fixed;

// A card that says nothing of its accuracy leaves what is usual for the kind.
function isStated(one) {
  return Boolean(one.of_reading_percent || (one.counts && one.resolution) || (one.of_full_scale_percent && one.full_scale));
}

// The instrument's own statement holds in the unit in which it is printed.
function stated(value, instrument, units) {
  const unit = unitOf(units, instrument.unit);
  const shown = fromCore(value, unit);
  const ofReading = Math.abs(shown) * (Number(instrument.of_reading_percent) / 100) + Number(instrument.counts) * Number(instrument.resolution);
  const isOfScale = instrument.of_full_scale_percent && instrument.full_scale;
  const ofScale = isOfScale ? (Number(instrument.of_full_scale_percent) / 100) * Number(instrument.full_scale) : 0;
  return (ofReading + ofScale) * unit.factor;
}

/** Return half of the last digit's place of a number as typed: 26.8 → 0.05. A bare 0 says that nothing was seen. */
export function halfADigit(typed) {
  const digits = typed.trim().replace(/^[<>=≥≤ \u00a0]+/, "");
  if (typed.trim() === "0") return 0;
  return 0.5 * 10 ** -(digits.split(".")[1] ?? "").length;
}

/** Return {value, bound} in the core unit; over an instrument's range the end of its scale stands as a bound. */
export function valueAndBound(entry, instrument, units) {
  if (entry.value !== null) return { value: entry.value, bound: entry.bound };
  const unit = instrument && unitOf(units, instrument.unit);
  if (!unit || !instrument.full_scale) return null;
  return { value: Number(instrument.full_scale) * unit.factor + unit.offset, bound: ">" };
}
