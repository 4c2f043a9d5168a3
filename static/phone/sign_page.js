/* Signing and ending on the phone. What is signed is shown line by line, and its hash is that of exactly this content,
   made as commissioning/visits/signing.py makes it. */
import { canonicalJson, digest } from "./canonical.js";
import { element, piece } from "./pieces.js";
import { clockAndDay, findingWords, signedTime } from "./say.js";

/** Return what is shown to whoever signs now. */
export function shownAtSigning(visit) {
  const before = visit.pack.signing;
  const asPacked = new Map(before.lines.map((line) => [line.measurement ?? null, line]));
  return {
    ...before,
    lines: visit.lines.map((line) => (line.measurement && !line.measurement.isLocal && asPacked.get(line.measurement.id)) || signedLine(line, visit)),
    holds: visit.holds.map((hold) => ({ title: hold.title, standing: holdWords(hold) })),
    defects: visit.defects.map((one) => ({ number: one.number, words: one.words, unsafe: one.is_unsafe, put_right: one.put_right?.words ?? "" })),
  };
}

function signedLine(line, visit) {
  const made = { number: line.number, check: line.check.title, subject: line.words, standing: standingOfLine(line), values: [] };
  const one = line.measurement;
  if (!one) return made;
  const values = (one.findings ?? []).map((finding) => {
    const { value, spread, limits } = findingWords(finding, visit.units);
    return { repeat: finding.repeat, value, spread, limits, verdict: finding.verdict ?? "" };
  });
  return { ...made, measurement: one.id ?? "", at: signedTime(one.at, visit.zone), by: one.by, note: one.note ?? "", values };
}

function standingOfLine(line) {
  if (line.measurement) return line.measurement.answer || line.verdict || "noted";
  if (line.status === "behind a hold") return "owed, behind a hold";
  const words = line.aside && line.status !== "owed" ? line.aside.reason : "";
  return words ? `${line.status}: ${words}` : line.status;
}

function holdWords(hold) {
  if (hold.standing === "stands") return `stands: ${hold.stays_off}`;
  return hold.standing === "released" ? `released by ${hold.release.by}: ${hold.release.reason}` : "settled";
}

/** Draw what is signed, and put its mark into the form; resolves with the mark. */
export async function drawSigning(visit) {
  const content = shownAtSigning(visit);
  const mark = await digest(canonicalJson(content));
  const section = document.querySelector("section[aria-labelledby='shown']");
  const list = element("ol", "", "order");
  list.append(...content.lines.map(signedItem));
  section.replaceChildren(section.querySelector("h2"), list, ...named("Holds", content.holds.map((one) => `${one.title}: ${one.standing}`)),
    ...named("Defects", content.defects.map((one) => `${one.number}: ${one.words}${one.unsafe ? " (unsafe)" : ""}${one.put_right ? `; put right: ${one.put_right}` : ""}`)),
    element("p", element("small", `Mark of this content (SHA-256): ${mark}`)));
  document.querySelector("input[name=shown_hash]").value = mark;
  drawSigned(visit, mark);
  return mark;
}

function signedItem(one) {
  const values = one.values.map((value) => [value.repeat && `${value.repeat}: `, value.value, value.spread && ` ${value.spread}`,
    value.limits !== "—" && `, limits ${value.limits}`, value.verdict && one.values.length > 1 && `: ${value.verdict}`].filter(Boolean).join(""));
  return piece("plain-line", {
    number: one.number, title: one.check, words: one.at ? `${one.subject} · ${one.at}, ${one.by}` : one.subject,
    values: values.flatMap((text, n) => (n ? [document.createElement("br"), text] : [text])), note: one.note, result: true, answer: one.standing,
  });
}

function named(title, texts) {
  if (!texts.length) return [];
  const list = element("ul");
  list.append(...texts.map((text) => element("li", text)));
  return [element("h3", title), list];
}

function drawSigned(visit, mark) {
  document.querySelector("section[aria-labelledby='signed']")?.remove();
  if (!visit.signatures.length) return;
  const list = element("ul");
  list.append(...visit.signatures.map((one) => {
    const item = element("li", `${one.name}, ${one.role}, ${clockAndDay(new Date(one.at), visit.zone)}: ${one.meaning}`);
    if (one.shown_hash !== mark) item.append(document.createElement("br"), element("small", "What was signed then differs from what stands above."));
    return item;
  }));
  const made = document.createElement("section");
  made.setAttribute("aria-labelledby", "signed");
  const head = element("h2", "Signed");
  head.id = "signed";
  made.append(head, list);
  document.querySelector("section[aria-labelledby='shown']").after(made);
  endLink(visit);
}

function endLink(visit) {
  const url = visit.pack.urls.end;
  if (!visit.ended && !document.querySelector(`a[href='${url}']`)) document.querySelector("input[name=shown_hash]").form.after(piece("button", { url, words: "End the visit" }));
}
