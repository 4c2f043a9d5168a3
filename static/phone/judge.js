/* What this phone says of a measurement: pocket tables instead of formulas, then the rules of sizing/judgement.py.
   Uncertainty by computing again: every reading and condition is moved by its own u, and the table read once more. */
import { COVERAGE, decide, gravest } from "./decide.js";
import { EDGE, Refusal, Situation, mean } from "./pocket.js";

/** Return {verdict, findings} of one carrying-out of a measured or derived check.

    `check` and `pocket` are data of the pack. Readings are [{input, label, value, u, bound, at}] in core units.
    `conditions` is {name: {value, u, words} or {missing}}, or a function of a moment that returns it: rows through the
    day lie hours apart. `moment` is Unix time in seconds. */
export function judge(check, pocket, readings, conditions, moment, way = "") {
  const at = typeof conditions === "function" ? conditions : () => conditions;
  const labels = labelsRead(check, readings);
  const findings = labels.flatMap((label) => {
    const then = momentOf(check, readings, label) ?? moment;
    const around = at(then);
    return pocket.judged.map((judged) => findingOf({ check, pocket, judged, way }, new Situation(pocket, readings, around, then, label)));
  });
  if (check.is_condition) return { verdict: "", findings };
  const verdicts = findings.map((one) => one.verdict);
  if (check.repeat.shape === "rows" && labels.length < check.repeat.least) verdicts.push("unjudged");
  return { verdict: gravest(verdicts), findings };
}

function labelsRead(check, readings) {
  if (!["each", "rows"].includes(check.repeat.shape)) return [""];
  return [...new Set(readings.map((one) => one.label).filter(Boolean))];
}

const momentOf = (check, readings, label) => (check.repeat.shape === "rows" && readings.findLast((one) => one.label === label)?.at) || undefined;

function findingOf(context, here) {
  const { judged: [name, label, quantity], check, pocket } = context;
  const bound = here.readings.find((one) => one.input === name && [here.label, ""].includes(one.label) && one.bound)?.bound ?? "";
  const found = {
    name, label, repeat: here.label, quantity, value: null, bound, spread: null, lower: null, upper: null, nominal: null,
    basis: "", verdict: "unjudged", reason: "", terms: [], missing: [], unsure: "", nearest: null,
  };
  if (pocket.server) return { ...found, reason: pocket.server, missing: [pocket.server], unsure: pocket.server };
  try {
    return complete(found, { ...context, table: tableFor(context, here) }, here);
  } catch (problem) {
    return refused(found, problem);
  }
}

function refused(found, problem) {
  if (!(problem instanceof Refusal)) throw problem;
  return { ...found, reason: problem.message, missing: [problem.message], unsure: problem.unsure };
}

function tableFor({ pocket, judged: [name], way }, here) {
  const mine = pocket.tables.filter((one) => one.judged === name && (!one.way || one.way === way));
  const fits = (one) => (one.given ?? []).every((x) => here.has(x)) && !(one.without ?? []).some((x) => here.has(x));
  const found = mine.find(fits);
  if (found) return found;
  throw new Refusal(EDGE, EDGE);
}

function complete(found, context, here) {
  found.value = measured(context, here);
  let expected = null, problem = null;
  try {
    expected = expectedAt(context, here);
  } catch (error) {
    if (!(error instanceof Refusal)) throw error;
    problem = error;
  }
  found.terms = merged([...reevaluated(context, here, Boolean(expected))]).concat(expected?.terms ?? []).filter((one) => one.u > 0);
  found.spread = COVERAGE * Math.hypot(...found.terms.map((one) => one.u));
  found.unsure = here.unsure;
  found.nearest = nearest(context.table.working, here);
  if (problem) return context.check.is_condition ? found : refused(found, problem);
  const { lower, upper, nominal, basis } = expected;
  const apart = disagreement(context.check, here.readings);
  const decision = apart ? { verdict: "unjudged", reason: apart } : decided(found, expected);
  const said = context.check.is_condition ? { verdict: "", reason: apart } : decision;
  return { ...found, lower, upper, nominal, basis, ...said, leading: leadingOf(found.terms) };
}

function decided(found, expected) {
  if (!Number.isFinite(found.spread)) return { verdict: "unjudged", reason: "conditions lie at the edge of what can be computed" };
  const decision = decide(found.value, found.spread, expected, found.bound);
  const leading = leadingOf(found.terms);
  if (!["unjudged", "borderline"].includes(decision.verdict) || found.bound || !leading) return decision;
  return { ...decision, reason: `${decision.reason}; most of it from ${leading.name}` };
}

const leadingOf = (terms) => terms.reduce((most, one) => (most && most.u >= one.u ? most : one), null);

/** Return the value that is judged. */
function measured({ judged: [name, label], table, pocket }, here) {
  if (table.reduced) return REDUCED[table.reduced[0]](here.every(table.reduced[1]));
  if (typeof table.value !== "string") return here.read(table.value, (axis) => here.value(axis)).figures.value;
  if (table.value !== name || pocket.figures.some((one) => one.name === name)) return here.value(table.value);
  const read = here.readings.filter((one) => one.input === name && (!here.label || one.label === here.label));
  if (!read.length) throw new Refusal(`${label.toLowerCase()} has not been read`);
  return mean(read.map((one) => one.value));
}

const compared = (values) => {
  if (values.length < 2) throw new Refusal("two or more are needed to compare them");
  return values;
};

const REDUCED = {
  "greatest": (values) => Math.max(...values),
  "greatest less least": (values) => Math.max(...compared(values)) - Math.min(...values),
  "farthest from the mean, over the mean": (values) => Math.max(...compared(values).map((x) => Math.abs(x - mean(values)))) / mean(values),
};

/** Return limits, nominal, basis and terms; a refusal is thrown. */
function expectedAt({ table }, here) {
  for (const guard of table.guards ?? []) here.value(guard);
  let found;
  try {
    found = here.read(table.expected, (axis) => here.value(axis));
  } catch (problem) {
    if (problem instanceof Refusal && table.doubtful) problem.unsure = table.doubtful;
    throw problem;
  }
  const { sort, figures } = found;
  const terms = (sort.terms ?? []).map((name, i) => ({ name, u: figures[`term ${i}`], shared: Boolean(sort.shared[i]) }));
  const { lower = null, upper = null, nominal = null, bearable = null } = figures;
  return { lower, upper, nominal, bearable, basis: sort.basis ?? "", terms };
}

// uncertainty: half the change of measured less expected between + u and − u of each reading and condition

function* reevaluated(context, here, withExpected) {
  const labelled = (name) => context.check.ways.flatMap((way) => way.inputs).find((one) => one.name === name)?.label.toLowerCase() ?? name;
  for (const [i, one] of here.readings.entries()) {
    if (!(one.u > 0) || (here.label && one.label && one.label !== here.label)) continue;
    const moved = [1, -1].map((sign) => new Situation(here.pocket, here.readings.with(i, { ...one, value: one.value + sign * one.u }), here.conditions, here.moment, here.label));
    yield { name: labelled(one.input), u: halfChange(context, moved, here, withExpected), shared: false };
  }
  for (const [name, one] of Object.entries(here.conditions)) {
    if (!(one.u > 0)) continue;
    const moved = [1, -1].map((sign) => new Situation(here.pocket, here.readings, { ...here.conditions, [name]: { ...one, value: one.value + sign * one.u } }, here.moment, here.label));
    yield { name: one.words || name.replaceAll("_", " "), u: halfChange(context, moved, here, withExpected), shared: Boolean(one.shared) };
  }
}

function halfChange(context, moved, here, withExpected) {
  const found = moved.flatMap((one) => {
    try {
      return [deviation(context, one, withExpected)];
    } catch (problem) {
      if (!(problem instanceof Refusal)) throw problem;
      return [];
    }
  });
  if (found.length === 2) return Math.abs(found[0] - found[1]) / 2;
  return found.length ? Math.abs(found[0] - deviation(context, here, withExpected)) : Infinity;
}

function deviation(context, here, withExpected) {
  const value = measured(context, here);
  if (!withExpected) return value;
  const { nominal, lower, upper } = expectedAt(context, here);
  return value - (nominal ?? lower ?? upper ?? 0);
}

function merged(terms) {
  const byName = new Map();
  for (const one of terms) byName.set(one.name, { ...one, u: Math.hypot(byName.get(one.name)?.u ?? 0, one.u) });
  return [...byName.values()];
}

/** Return in words which repeats lie too far apart to be averaged; empty if none do. */
function disagreement(check, readings) {
  if (check.repeat.shape !== "times") return "";
  for (const input of check.ways.flatMap((way) => way.inputs).filter((one) => one.repeats)) {
    const values = readings.filter((one) => one.input === input.name).map((one) => one.value);
    if (values.length < 2) continue;
    const spread = Math.max(...values) - Math.min(...values), middle = Math.abs(mean(values)), words = input.label.toLowerCase();
    if (input.agree_share !== null && spread > input.agree_share * middle) {
      return `${words}: repeats differ by ${(100 * spread / middle).toFixed(0)} %, more than ${(100 * input.agree_share).toFixed(0)} %; take them again`;
    }
    if (input.agree_fixed !== null && spread > input.agree_fixed) return `${words}: repeats do not agree; wait and take them again`;
  }
  return "";
}

/** Return the node nearest to here that has its working: {at: {axis: value}, steps, numbers}. */
function nearest(working, here) {
  if (!working?.nodes.length) return null;
  const wide = working.names.map((_, i) => Math.max(...working.nodes.map(([at]) => at[i])) - Math.min(...working.nodes.map(([at]) => at[i])) || 1);
  const away = ([at]) => working.names.reduce((sum, name, i) => sum + ((valueOr(here, name, at[i]) - at[i]) / wide[i]) ** 2, 0);
  const [at, text, numbers] = working.nodes.reduce((best, one) => (away(one) < away(best) ? one : best));
  return { at: Object.fromEntries(working.names.map((name, i) => [name, at[i]])), steps: working.texts[text], numbers };
}

function valueOr(here, name, otherwise) {
  try {
    return here.value(name);
  } catch {
    return otherwise;
  }
}
