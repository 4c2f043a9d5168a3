/* Numbers written out as commissioning/units/figures.py writes them: figure and unit with a space that does not break,
   true minus, honest digits. Factors, offsets and symbols are data of the pack; both sides run the same vectors. */

export const MINUS = "\u2212";
export const NO_BREAK = "\u00a0";
export const EM_DASH = "—";
const DIGITS = 4; // significant digits of a computed value whose uncertainty is not known
const MORE_PLACES = 3; // a value smaller still is printed as zero
const DIGITS_OF_U = 2; // JCGM 100:2008, 7.2.6: at most two significant digits suffice for U
const EXACT = 40; // digits behind the last one kept that tell a tie

/** Return the unit of that code among those on offer for a quantity; undefined if it is none. */
export const unitOf = (units, code) => units.find((one) => one.code === code);

export const toCore = (value, unit) => value * unit.factor + unit.offset;

export const fromCore = (value, unit) => (value - unit.offset) / unit.factor;

/** Return a difference of core values, such as an uncertainty, in a unit. */
export const scale = (difference, unit) => difference / unit.factor;

// A tie goes to the even digit, as in the other language; toFixed alone would take the larger.
function tied(long, upper, kept) {
  const tail = long.slice(kept);
  const isTie = /^50*$/.test(tail);
  return isTie && "02468".includes(long[kept - 1]) ? long.slice(0, kept) : upper;
}

/** Return the absolute value with fixed places, a tie to the even digit. */
export function fixed(value, places) {
  const size = Math.abs(value);
  const upper = size.toFixed(places);
  if (size >= 1e21) return upper;
  const long = size.toFixed(Math.min(places + EXACT, 100));
  const point = long.indexOf(".");
  if (places === 0) return tied(long.slice(0, point) + long.slice(point + 1), upper, point);
  return tied(long, upper, point + 1 + places);
}

/** Return the value rounded to that many significant digits, a tie to the even digit. */
export function significant(value, digits) {
  if (!value) return 0;
  const power = Number(Math.abs(value).toExponential(EXACT).split("e")[1]);
  const places = digits - 1 - power;
  const sign = value < 0 ? -1 : 1;
  if (places >= 0) return sign * Number(places > 60 ? Math.abs(value).toPrecision(digits) : fixed(value, places));
  const [mantissa, exponent] = Math.abs(value).toExponential(EXACT).split("e");
  const upper = Math.abs(value).toExponential(digits - 1).split("e");
  const even = tied(mantissa, "", digits === 1 ? 1 : digits + 1);
  return sign * Number(even && digits > 1 ? `${even}e${exponent}` : `${upper[0]}e${upper[1]}`);
}

/** Return the power of ten of the first digit, as it stands after rounding to two digits. */
function powerOf(value) {
  return Number(Math.abs(value).toExponential(DIGITS_OF_U - 1).split("e")[1]);
}

const isClose = (a, b) => Math.abs(a - b) <= 1e-9 * Math.max(Math.abs(a), Math.abs(b));

function placesFor(value, unit) {
  if (!value) return 0;
  const useful = Math.max(Math.min(DIGITS - 1 - powerOf(value), unit.places), 0);
  if (isClose(Math.sign(value) * Number(fixed(value, useful)), value)) return useful;
  const visible = DIGITS_OF_U - 1 - powerOf(value); // 0.0042 must not print as 0.00
  return Math.max(useful, Math.min(visible, unit.places + MORE_PLACES));
}

// Never rounds left of the point: 1234 ± 56 stays as read.
const placesForU = (u) => Math.max(DIGITS_OF_U - 1 - powerOf(u), 0);

const placesOf = (value, unit, u) => (u ? placesForU(u) : placesFor(value, unit));

/** Return a number with fixed places and a true minus sign; a rounded zero has no sign. */
export function number(value, places) {
  const text = fixed(value, places);
  const isZero = !/[1-9]/.test(text);
  return value < 0 && !isZero ? MINUS + text : text;
}

/** Return a number as a person would type it again: 1.265, 40, 0.0005. */
export function plain(value) {
  const text = Number(value.toPrecision(12)).toFixed(12);
  return text.replace(/0+$/, "").replace(/\.$/, "") || "0";
}

/** Return number and unit symbol; only the degree of an angle stands close. */
export const withSymbol = (text, symbol) => (symbol === "" || symbol === "°" ? text + symbol : `${text}${NO_BREAK}${symbol}`);

/** Return [number, symbol]; `u` is the expanded uncertainty in the core unit. */
export function figureParts(core, unit, u = null) {
  const value = fromCore(core, unit);
  return [number(value, placesOf(value, unit, u ? scale(u, unit) : null)), unit.symbol];
}

export const figure = (core, unit, u = null) => withSymbol(...figureParts(core, unit, u));

/** Return a reading exactly as typed, with its unit. */
export function typedFigure(typed, unit) {
  const text = typed.replaceAll("-", MINUS).replaceAll(" ", NO_BREAK);
  return ["ol", "nil"].includes(text.toLowerCase()) ? text : withSymbol(text, unit.symbol);
}

/** Return an expanded uncertainty with two significant digits and its unit: "± 3.4 kPa". */
export function plusMinus(u, unit) {
  const shown = scale(u, unit);
  return `±${NO_BREAK}${withSymbol(number(shown, shown ? placesForU(shown) : 0), unit.symbol)}`;
}

/** Return limits: "180.4 … 194.4", "≥ 0.5", "≤ 1.00", with the unit if `isNamed`. */
export function span(lower, upper, unit, isNamed = false) {
  const ends = [lower, upper].filter((end) => end !== null && end !== undefined).map((end) => fromCore(end, unit));
  if (!ends.length) return "no limits";
  const places = spanPlaces(ends, unit);
  const texts = ends.map((end) => number(end, places));
  const text = ends.length === 2 ? texts.join(`${NO_BREAK}…${NO_BREAK}`) : `${lower === null || lower === undefined ? "≤" : "≥"}${NO_BREAK}${texts[0]}`;
  return isNamed ? withSymbol(text, unit.symbol) : text;
}

// One number of places for both limits, enough to show the distance between them.
function spanPlaces(ends, unit) {
  const largest = ends.reduce((best, end) => (Math.abs(end) > Math.abs(best) ? end : best));
  const best = placesOf(largest, unit, null);
  const width = ends.at(-1) - ends[0];
  return width > 0 ? Math.max(best, placesForU(width)) : best;
}

/** Return a range of possible or usual values in short figures: "0 … 1000 psi". */
export function rangeText(lower, upper, unit) {
  const texts = [lower, upper].map((end) => {
    const short = significant(fromCore(end, unit), 3);
    const text = short ? number(short, Math.max(0, 2 - powerOf(short))) : "0";
    return text.includes(".") ? text.replace(/0+$/, "").replace(/\.$/, "") : text;
  });
  return withSymbol(`${texts[0]}${NO_BREAK}…${NO_BREAK}${texts[1]}`, unit.symbol);
}
