/* Small parts that several pages share: a hold's bar, a line of the order, the bar under the thumb, an interval picture. */
import { intervalSvg } from "./picture.js";
import { piece } from "./pieces.js";
import { standingWords } from "./say.js";

const LOOK = { stands: "", settled: "settled", released: "released" };

export function holdBar(hold, visit) {
  const made = piece("hold", { url: `${visit.pack.urls.visit}hold/${hold.key}/`, title: `Hold: ${hold.title}`, words: standingWords(hold, visit.zone) });
  if (LOOK[hold.standing]) made.classList.add(LOOK[hold.standing]);
  return made;
}

/** Return one line of the order of checks as a list item. */
export function lineItem({ line, words, isBehind }, visit) {
  const answer = line.measurement?.answer ?? "";
  const verdict = answer ? "" : line.verdict;
  const found = (line.measurement?.findings ?? []).find((one) => one.verdict === line.verdict);
  const drawn = !answer && line.verdict && found ? picture(found, visit.units, true) : "";
  const made = piece("line", {
    number: line.number, url: `${visit.pack.urls.visit}${line.id}/`, title: line.check.title,
    words: line.measurement?.isLocal ? `${words}${keptWords(line.measurement)}` : words,
    result: Boolean(drawn || verdict || answer), picture: drawn, verdict, answer,
  });
  made.querySelector(".verdict")?.classList.add(verdict);
  made.classList.toggle("behind", Boolean(isBehind));
  return made;
}

/** Return where what was measured here is by now: an addition to the words of a line. */
export function keptWords(measurement) {
  if (measurement.isDerived) return " · worked out on this phone";
  return measurement.record.state === "sent" ? " · sent" : " · kept on this phone";
}

/** Return the bar with what comes next. */
export function nextBar({ url, words, back, backWords, all }, isFlat = false) {
  const made = piece("next", { url, words, back, "back-words": backWords, all });
  if (isFlat) {
    made.className = "row";
    made.querySelector(".main")?.classList.remove("main");
  }
  return made;
}

/** Return the interval picture of a finding; empty where there is no value to draw. */
export function picture(finding, units, isSmall = false) {
  if (finding.value === null || finding.value === undefined) return "";
  const unit = units[finding.quantity].find((one) => one.code === finding.unit) ?? units[finding.quantity][0];
  return intervalSvg(finding, unit, { small: isSmall });
}

/** Put parts behind an element, or first where there is none. */
export function put(into, parts, behind) {
  if (behind) behind.after(...parts);
  else into.prepend(...parts);
}
