/* Reads pocket tables: numbers over one to three axes, worked out by the server, straight between their nodes. Nothing
   here knows what is measured. The same reading in Python is sizing/pocket/grid.py; both run the same vectors. */

export const EDGE = "at the edge of a branch of this phone's tables: the server will judge";
const BEYOND = "beyond what this phone's tables hold: the server will judge";
const DAY = 86400; // s

/** What cannot be said, with its words; `unsure` where the server may well say it. */
export class Refusal extends Error {
  constructor(words, unsure = "") {
    super(words);
    this.unsure = unsure;
  }
}

const SCALED = { log: Math.log, reciprocal: (x) => 1 / x };
const UNSCALED = { log: Math.exp, reciprocal: (x) => 1 / x };
const scaled = (x, scale) => SCALED[scale]?.(x) ?? x;

// The one or two nodes around a value with their weights; none beyond the ends.
function around([, scale, nodes], value) {
  const same = nodes.indexOf(value);
  if (same >= 0) return [[same, 1]];
  if (scale === "choice" || !(nodes[0] < value && value < nodes.at(-1))) return [];
  const right = nodes.findIndex((node) => node > value);
  const [low, high, here] = [nodes[right - 1], nodes[right], value].map((x) => scaled(x, scale));
  const share = (here - low) / (high - low);
  return [[right - 1, 1 - share], [right, share]];
}

function corners(axes, get) {
  let found = [[0, 1]];
  for (const axis of axes) {
    const sides = around(axis, get(axis[0]));
    if (!sides.length) throw new Refusal(BEYOND, BEYOND);
    found = found.flatMap(([at, weight]) => sides.map(([i, share]) => [at * axis[2].length + i, weight * share]));
  }
  return found.filter(([, weight]) => weight > 0);
}

function cell(columns, name, at) {
  const column = columns[name];
  if (typeof column === "number") return column;
  if (Array.isArray(column)) return column[at];
  const of = cell(columns, column.of, at);
  return of === null ? null : column.line[0] + column.line[1] * of;
}

/** Return {sort, figures, unsure} of a table where `get` gives the value on each axis. */
export function readTable(table, get) {
  const found = corners(table.axes, get);
  const sortAt = (at) => table.sort?.[at] ?? 0;
  const leading = sortAt(found.reduce((a, b) => (b[1] > a[1] ? b : a))[0]);
  const alike = found.filter(([at]) => sortAt(at) === leading);
  const whole = alike.reduce((sum, [, weight]) => sum + weight, 0);
  const mean = (name) => {
    const sum = alike.reduce((total, [at, weight]) => total + scaled(cell(table.columns, name, at), table.scale) * weight, 0);
    return UNSCALED[table.scale]?.(sum / whole) ?? sum / whole;
  };
  const sort = table.sorts[leading];
  // A column that some other sort has alone stands empty here.
  const names = sort.refusal ? [] : Object.keys(table.columns).filter((name) => cell(table.columns, name, alike[0][0]) !== null);
  return { sort, figures: Object.fromEntries(names.map((name) => [name, mean(name)])), unsure: alike.length < found.length ? EDGE : "" };
}

const spoken = (name) => name.replaceAll("_", " ");
export const mean = (values) => values.reduce((sum, x) => sum + x, 0) / values.length;

/** What a table is asked with: the readings and conditions of one repeat, and the figures that follow from them. */
export class Situation {
  constructor(pocket, readings, conditions, moment, label) {
    Object.assign(this, { pocket, readings, conditions, moment, label, known: new Map(), unsure: "" });
  }

  /** Whether a reading or condition of that name is there. */
  has(name) {
    return this.mine(name).length > 0 || this.conditions[name]?.value !== undefined;
  }

  mine(name) {
    return this.readings.filter((one) => one.input === name && (!this.label || [this.label, ""].includes(one.label)));
  }

  /** Return the value of a reading, condition or figure, or throw a Refusal. */
  value(name) {
    if (!this.known.has(name)) this.known.set(name, this.found(name));
    return this.known.get(name);
  }

  found(name) {
    if (name === "day") return Math.floor(this.moment / DAY);
    if (name === "of_day") return this.moment - DAY * Math.floor(this.moment / DAY);
    const figure = this.pocket.figures.find((one) => one.name === name);
    if (figure && !(figure.stands_in && this.has(name))) return figure.each ? this.ofEach(figure) : this.read(figure.grid, (axis) => this.value(axis)).figures.value;
    const [input, label] = name.split("@");
    const read = this.readings.find((one) => one.input === input && (label ? one.label === label : [this.label, ""].includes(one.label)));
    return read ? read.value : this.condition(name);
  }

  condition(name) {
    const found = this.conditions[name];
    if (found?.value !== undefined) return found.value;
    if (this.pocket.defaults[name] !== undefined) return this.pocket.defaults[name];
    throw new Refusal(found?.missing ?? `${spoken(name.replace("@", " at "))} has not been read`);
  }

  /** Read a table; a refusal in it is thrown. */
  read(table, get) {
    const found = readTable(table, get);
    if (found.sort.refusal) throw new Refusal(found.sort.refusal, found.sort.owner === "pocket" ? BEYOND : found.unsure);
    this.unsure ||= found.unsure;
    return found;
  }

  // A figure of every repeat, then their mean; refused where they lie too far apart.
  ofEach(figure) {
    const labels = this.readings.filter((one) => one.input === figure.of[0]).map((one) => one.label);
    if (!labels.length) throw new Refusal(`${spoken(figure.of[0])} has not been read`);
    const values = labels.map((label) => this.read(figure.grid, (axis) => this.value(label ? `${axis}@${label}` : axis)).figures.value);
    const apart = (Math.max(...values) - Math.min(...values)) / Math.abs(mean(values));
    if (apart > figure.agree) throw new Refusal(`repeats is ${(100 * apart).toFixed(0)} % apart; it must be within ${100 * figure.agree} % of each other; take them again`);
    return mean(values);
  }

  /** Return the results of every repeat of another check, or several readings. */
  every(name) {
    if (name.includes(" ")) return name.split(" ").map((one) => this.value(one));
    const keys = Object.keys(this.conditions).filter((key) => key.startsWith(`${name}/`) && this.conditions[key].value !== undefined);
    return keys.length ? keys.map((key) => this.conditions[key].value) : [this.condition(name)];
  }
}
