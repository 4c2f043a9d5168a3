/* Why a window is where it is, in lines: the window, what was around, what leads the doubt, and the working at the
   nearest node of the table, said to be that. */
import { figure, number, plusMinus, span, unitOf } from "./figures.js";

const PLAIN = 6; // significant digits of a working
const COVERAGE = 2;

/** Return the lines of a finding; `conditions` is what was around it. */
export function whyLines(finding, conditions, units) {
  const unit = unitOf(units[finding.quantity], finding.unit) ?? units[finding.quantity][0];
  return [...windowLine(finding, unit), ...conditionLine(conditions), ...doubtLine(finding, unit), ...(finding.unsure ? [`${capital(finding.unsure)}.`] : []), ...nearestLines(finding.nearest)];
}

const capital = (text) => text.charAt(0).toUpperCase() + text.slice(1);

function windowLine({ lower, upper, nominal, spread, basis }, unit) {
  if (lower === null && upper === null) return basis ? [`${capital(basis)}.`] : [];
  const middle = nominal === null ? "" : `, expected ${figure(nominal, unit, spread)}`;
  return [`Limits ${span(lower, upper, unit, true)}${middle}${basis ? `: ${basis}` : ""}.`];
}

function conditionLine(conditions) {
  const found = Object.values(conditions).map((one) => (one.missing ? one.missing : `${one.words} ${plain(one.value)} ± ${plain(COVERAGE * one.u, 2)}`));
  return found.length ? [`Around it, in the core's units: ${found.join("; ")}.`] : [];
}

function doubtLine({ leading, spread, bound }, unit) {
  if (!leading || !spread || bound || !Number.isFinite(spread)) return [];
  return [`Uncertainty ${plusMinus(spread, unit)}, most of it from ${leading.name}.`];
}

function nearestLines(nearest) {
  if (!nearest) return [];
  const at = Object.entries(nearest.at).map(([name, value]) => `${name.replace(/[_@]/g, " ")} ${plain(value)}`);
  const head = at.length ? `The working at the nearest node of the table (${at.join(", ")}), not at the conditions of this reading:` : "The working:";
  return [head, ...nearest.steps.map((step, i) => stepLine(step, nearest.numbers[i]))];
}

function stepLine(step, [result, ...given]) {
  const from = step.of.map(([symbol, unit], i) => `${symbol} = ${withUnit(given[i], unit)}`).join(", ");
  const note = step.note ? ` (${step.note})` : "";
  return `${step.symbol} = ${withUnit(result, step.unit)}${note}: ${step.words}. ${step.equation.replaceAll("\n", "; ")}, with ${from}. ${step.source}`;
}

function withUnit(value, unit) {
  const text = Array.isArray(value) ? value.flat(2).map((one) => plain(one)).join(", ") : plain(value);
  return ["1", "text", "", "as the quantity"].includes(unit) || typeof value === "string" ? text : `${text}\u00a0${unit}`;
}

function plain(value, digits = PLAIN) {
  if (typeof value !== "number") return value === null ? "not given" : String(value);
  const size = Math.abs(value);
  if (size !== 0 && (size < 1e-4 || size >= 1e9)) return value.toExponential(digits - 1).replace("-", "\u2212");
  const places = size === 0 ? 0 : Math.max(digits - 1 - Math.floor(Math.log10(size)), 0);
  return number(Number(value.toFixed(Math.min(places, 20))), Math.min((String(Number(value.toFixed(Math.min(places, 20)))).split(".")[1] ?? "").length, places));
}
