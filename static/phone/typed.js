/* What a person types as a reading: the strict grammar of commissioning/units/typed.py, with its helpful answers.
   Nothing is guessed. Whatever could mean two things is asked back; the text itself is kept. Both sides run the same
   golden vectors. */
import { MINUS, rangeText, toCore, unitOf } from "./figures.js";
import { isOutside, likelySlip } from "./slips.js";

const MOST_DIGITS = 15; // what a float carries exactly; no instrument shows more
const MOST_CHARACTERS = 60;

const NUM = `[-${MINUS}]?(?:[0-9]+(?:\\.[0-9]+)?|\\.[0-9]+)`;
const NUMBER = new RegExp(`^${NUM}$`);
const BOUND = /^(>=|<=|[<>≥≤])[ \u00a0]*([^]*)$/;
const SIGN = { ">": ">", ">=": ">", "≥": ">", "<": "<", "<=": "<", "≤": "<" };
const WITH_UNIT = new RegExp(`^(${NUM})[ \u00a0]*((?![0-9])[\\p{L}\\p{N}]|[%°]|\\()[^]*$`, "u");
const COMMA_DECIMAL = new RegExp(`^[-${MINUS}]?[0-9]+,[0-9]+$`);
const COMMA_GROUPS = new RegExp(`^[-${MINUS}]?[1-9][0-9]{0,2}(?:,[0-9]{3})+$`);
const GROUPED = new RegExp(`^[-${MINUS}]?[1-9][0-9]{0,2}(?:([ '’_.,\u00a0\u202f])[0-9]{3})(?:\\1[0-9]{3})*(?:[.,][0-9]+)?$`);
const EXPONENT = new RegExp(`^${NUM}[eE][+-]?[0-9]+$`);
const NOT_A_NUMBER = /^[-+]?(nan|inf|infinity|none|null|n\/?a|-+|—|–)$/i;

/** Typed text that is refused: what to say at the field, and the text perhaps meant. */
export class InputError extends Error {
  constructor(message, suggestion = "") {
    super(message);
    this.suggestion = suggestion;
  }
}

const stripped = (text) => text.replace(/^[ \t\r\n\u00a0]+|[ \t\r\n\u00a0]+$/g, "");

/** Return {text, value, bound} of the number in `text`, or throw InputError with words for the person at the field. */
export function parseNumber(text, bounds = false) {
  const kept = stripped(text);
  if (!kept) throw new InputError("Type a number.");
  if (["ol", "0l", "o.l", "o.l."].includes(kept.toLowerCase())) return overRange(kept, bounds);
  const [sign, digits] = splitBound(kept, bounds);
  try {
    refuseWhatIsNoNumber(digits);
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    throw new InputError(error.message, error.suggestion ? `${sign} ${error.suggestion}`.trim() : "");
  }
  return { text: kept, value: Number(digits.replaceAll(MINUS, "-")) + 0, bound: sign };
}

function overRange(kept, bounds) {
  if (!bounds) throw new InputError("OL says that the meter is over its range: choose a higher range and read again.");
  if (kept.toLowerCase() !== "ol") throw new InputError("Did you mean OL, over the meter's range?", "OL");
  return { text: kept, value: null, bound: "OL" };
}

function splitBound(kept, bounds) {
  const found = kept.match(BOUND);
  if (!found) return ["", kept];
  if (!bounds) throw new InputError("This reading has to be a number of its own, without < or >.");
  return [SIGN[found[1]], found[2]];
}

function refuseWhatIsNoNumber(text) {
  if (NUMBER.test(text)) {
    if (text.replace(/[^0-9]/g, "").length > MOST_DIGITS) throw new InputError(`That is more than ${MOST_DIGITS} digits. Type only those the instrument shows.`);
    return;
  }
  if ([...text].length > MOST_CHARACTERS) throw new InputError("That is too long for a number. Type digits, with a point if needed: 12.5");
  for (const look of [hiddenCharacters, otherDigits, separators, signs, exponent, unitInside, noValue]) look(text);
  throw new InputError("This is not a number. Type digits, with a point if needed: 12.5");
}

// No suggestion is invented: only a text that could be typed as it is.
const ifValid = (text) => (text.length <= MOST_DIGITS + 2 && NUMBER.test(text) ? text : "");

function didYouMean(text, cure) {
  const suggestion = ifValid(text);
  return new InputError(suggestion ? `Did you mean ${suggestion}? ${cure}` : cure, suggestion);
}

function hiddenCharacters(text) {
  const shown = text.replace(/\p{C}/gu, "");
  if (shown !== text) throw didYouMean(shown.trim(), "There is an invisible character in it: type the number again.");
}

function otherDigits(text) {
  const digits = text.replace(/\p{Nd}/gu, digitOf);
  if (digits === text) return;
  throw didYouMean(digits.replaceAll("\u066b", ".").replaceAll("．", "."), "Type the digits 0 to 9.");
}

// Decimal digits stand in runs of ten, so that the place in a run is the value.
function digitOf(character) {
  let start = character.codePointAt(0);
  const code = start;
  while (/\p{Nd}/u.test(String.fromCodePoint(start - 1))) start -= 1;
  return String((code - start) % 10);
}

function separators(text) {
  if (COMMA_GROUPS.test(text) && text.split(",").length === 2) {
    throw new InputError(`Did you mean ${text.replace(",", "")} or ${text.replace(",", ".")}? Leave the comma out, or type a point.`);
  }
  if (COMMA_DECIMAL.test(text)) throw didYouMean(text.replace(",", "."), "Type a point.");
  if (GROUPED.test(text)) throw didYouMean(withoutGroups(text), "Leave out what parts the thousands.");
  if (text.includes(",")) throw new InputError("A comma can mean two things. Type a point, and nothing between thousands: 1234.5");
}

function withoutGroups(text) {
  const last = Math.max(text.lastIndexOf("."), text.lastIndexOf(","));
  const marks = new Set([...text].filter((one) => ".,".includes(one)));
  const isDecimal = last > 0 && (marks.size > 1 || text.split(text[last]).length === 2);
  const [whole, part] = isDecimal ? [text.slice(0, last), `.${text.slice(last + 1)}`] : [text, ""];
  return whole.replace(new RegExp(`[^0-9${MINUS}-]`, "g"), "") + part;
}

function signs(text) {
  if (text.startsWith("+")) throw didYouMean(text.slice(1).trim(), "Leave out the plus sign.");
  if (["–", "—", "- ", `${MINUS} `].some((one) => text.startsWith(one))) throw didYouMean(`-${text.slice(1).trim()}`, "Type the minus directly before the digits.");
  if (text.endsWith(".")) throw didYouMean(text.slice(0, -1), "Leave out the point at the end, or type the digits after it.");
}

function exponent(text) {
  if (EXPONENT.test(text)) throw new InputError("Type the number in full, without an exponent, or choose a larger unit.");
}

function unitInside(text) {
  const found = text.match(WITH_UNIT);
  if (!found) return;
  const isMixed = /[\s,;][0-9]/.test(text.slice(found[1].length)); // 3 m 20, 5 ft 6 in
  throw new InputError("Type the number alone and choose the unit beside it.", isMixed ? "" : ifValid(found[1]));
}

function noValue(text) {
  if (NOT_A_NUMBER.test(text)) throw new InputError("Type a number. If the reading cannot be taken, say so below, with the reason.");
}

/** Return {typed, unit, value (core), bound, doubt, cure}. Beyond `hard` is refused, beyond `soft` carries a doubt.
    `units` are those on offer for the quantity. */
export function parse(text, code, quantity, units, { hard = null, soft = null, bounds = false } = {}) {
  const chosen = unitOf(units, code);
  if (!chosen) throw new InputError("Choose one of the units beside it.");
  const typed = parseNumber(text, bounds);
  const entry = { typed: typed.text, unit: code, value: null, bound: typed.bound, doubt: "", cure: null };
  if (typed.value === null) return entry;
  entry.value = toCore(typed.value, chosen);
  const usual = soft ?? hard;
  const slip = usual && !typed.bound ? likelySlip(typed.value, chosen, quantity, units, usual) : null;
  if (hard && isOutside(entry.value, hard)) throw impossible(entry.value, hard, chosen, slip);
  if (typed.bound || !soft || !isOutside(entry.value, soft)) return entry;
  return { ...entry, doubt: doubtOf(entry.value, soft, chosen, slip), cure: slip?.cure ?? null };
}

function impossible(core, hard, chosen, slip) {
  const side = core > hard[1] ? "More" : "Less";
  const message = `${side} than is possible here: ${rangeText(...hard, chosen)}.`;
  if (!slip) return new InputError(message);
  return new InputError(`${message} ${slip.words}`, slip.cure?.unit === chosen.code ? slip.cure.text : "");
}

function doubtOf(core, soft, chosen, slip) {
  const side = core > soft[1] ? "More" : "Less";
  const words = `${side} than is usual here: ${rangeText(...soft, chosen)}.`;
  return slip ? `${words} ${slip.words}` : `${words} Is it right?`;
}
