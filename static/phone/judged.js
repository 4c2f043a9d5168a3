/* What this phone says of a measurement made on it: pocket tables and the decision rule, readings in core units. Where
   there is no table the server judges, and the page says so. */
import { inCore } from "./form.js";

// Where this phone's pages are older than its tables, or have none, the server judges.
const { judge } = await import("./judge.js").catch(() => ({}));
const { conditionsFor } = await import("./conditions.js").catch(() => ({}));

const OBSERVED = { "as it should be": "within", "not as it should be": "outside" };

/** Return {verdict, findings, at} of a line with a measurement made here, or of one that can be derived; else null. */
export function judgeLine(line, visit) {
  const one = line.measurement;
  if (one?.answer || line.check.kind === "observed") return { verdict: OBSERVED[one.answer] ?? "", findings: [] };
  const tables = visit.pack.tables?.[line.id];
  return tables && judge ? judge(line, tables, visit, conditionsFor, readingsOf(line, visit)) : null;
}

function readingsOf(line, visit) {
  const way = { inputs: line.check.ways.flatMap((one) => one.inputs) };
  return (line.measurement?.readings ?? []).map((one) => inCore(one, way, visit.units, visit.pack.instruments)).filter(Boolean);
}
