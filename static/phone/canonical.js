/* One text for one content, so that a digest means something: the rules of commissioning/canonical.py, which are
   RFC 8785 with whole numbers only and texts in Unicode normal form C. Both run the same golden vectors. */

export class NotCanonicalError extends Error {}

export function canonicalJson(content) {
  return written(content, "$");
}

/** Return the SHA-256 of a text's UTF-8 bytes, or of bytes, in hexadecimal. */
export async function digest(textOrBytes) {
  const bytes = typeof textOrBytes === "string" ? new TextEncoder().encode(textOrBytes) : textOrBytes;
  const hash = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return [...hash].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

function written(content, where) {
  if (content === null || typeof content === "boolean") return String(content);
  if (typeof content === "string") return writtenText(content, where);
  if (typeof content === "number") return writtenWhole(content, where);
  if (Array.isArray(content)) return `[${content.map((one, n) => written(one, `${where}[${n}]`)).join(",")}]`;
  if (Object.getPrototypeOf(Object(content)) === Object.prototype) return writtenObject(content, where);
  throw new NotCanonicalError(`${where}: ${typeof content} has no canonical text; give it as a text`);
}

function writtenText(text, where) {
  if (!text.isWellFormed()) throw new NotCanonicalError(`${where}: half a surrogate pair is no character`);
  return JSON.stringify(text.normalize("NFC"));
}

function writtenWhole(number, where) {
  if (!Number.isSafeInteger(number)) throw new NotCanonicalError(`${where}: only whole numbers to ±(2^53 − 1)`);
  return String(number);
}

function writtenObject(members, where) {
  const lines = new Map();
  for (const [key, value] of Object.entries(members)) {
    const name = key.normalize("NFC");
    if (lines.has(name)) throw new NotCanonicalError(`${where}: two keys are both ${name}`);
    lines.set(name, `${writtenText(name, where)}:${written(value, `${where}.${name}`)}`);
  }
  const names = [...lines.keys()].sort((a, b) => (a < b ? -1 : 1)); // compares UTF-16 code units, as RFC 8785 asks
  return `{${names.map((name) => lines.get(name)).join(",")}}`;
}
