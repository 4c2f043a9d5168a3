/* The interval picture of one measurement, after the figures of JCGM 106: the geometry of commissioning/plots/interval.py,
   mark for mark. Both draw the same cases, and the texts are compared. */
import { figureParts, fixed, fromCore, number, scale as inUnit } from "./figures.js";

const FULL = { width: 340, height: 96, left: 8, right: 332, axis: 62, level: 40, top: 24, foot: 8, radius: 6.5, heavy: 3.2, thin: 1.2, cap: 6, drop: 8, triangle: 5.5, isSmall: false };
const SMALL = { width: 104, height: 26, left: 2, right: 102, axis: 19, level: 9, top: 3, foot: 4, radius: 3.6, heavy: 2.2, thin: 1, cap: 3, drop: 5, triangle: 3.2, isSmall: true };
const LABEL_Y = 90;
const TINY = 1e-12;
const LABEL_ROOM = 52; // an expected value nearer to a limit than this gives up its figure
const LEAST_SEEN = 0.005; // of the width between limits: a rounding smaller than this is not seen in the picture
const MOST_NOTE = 46; // characters that stand under the line
const MOST_TICKS = 60;

/** Return the picture of a finding in a unit as an SVG element. */
export function intervalSvg(finding, unit, { small = false } = {}) {
  const found = new DOMParser().parseFromString(drawn(pictured(finding, unit, small)), "image/svg+xml").documentElement;
  return document.importNode(found, true);
}

/** Return what is to be drawn of a finding, in the unit shown. */
export function pictured({ value, spread, bound, lower, upper, nominal, verdict, missing }, unit, small = false) {
  const shown = (x) => (x === null || x === undefined ? null : fromCore(x, unit));
  const text = figureParts(value, unit, spread)[0];
  const marks = [lower, upper, nominal].map(shown);
  const note = missing[0] ?? "";
  return {
    unit: unit.symbol, verdict: verdict || "within", reading: shown(value), spread: spread && !bound && Number.isFinite(spread) ? Math.abs(inUnit(spread, unit)) : 0,
    lower: marks[0], upper: marks[1], expected: marks[2], places: placesOfMarks(marks.filter((x) => x !== null), (text.split(".")[1] ?? "").length),
    small, note: !small && note.length < MOST_NOTE ? note : "", bound, typed: text.trim(),
  };
}

function placesOfMarks(marks, most) {
  const wide = Math.max(...marks, -Infinity) - Math.min(...marks, Infinity);
  const width = marks.length ? wide || Math.max(...marks.map(Math.abs)) : 0;
  for (let places = 0; places < most; places += 1) {
    if (marks.every((mark) => Math.abs(signed(mark, places) - mark) <= LEAST_SEEN * width)) return places;
  }
  return most;
}

const signed = (value, places) => Math.sign(value) * Number(fixed(value, places));

/** Return the picture as text. */
export function drawn(given) {
  const one = { ...given, size: given.small ? SMALL : FULL };
  one.limits = [one.lower, one.upper].filter((x) => x !== null);
  one.cls = `ip-reading is-${one.verdict}`;
  one.figure = /^[<>]/.test(one.typed) ? one.typed : `${one.bound} ${one.typed || number(one.reading ?? 0, one.places)}`.trim();
  const at = scaleOf(one);
  const parts = [...line(one), ...ticks(one, at), ...allowed(one, at), ...limits(one, at), ...expected(one, at), ...reading(one, at), ...note(one)];
  const { width, height } = one.size;
  return `<svg class="ip${given.small ? " ip-small" : ""}" viewBox="0 0 ${width} ${height}" width="${width}" height="${height}" role="img" font-family="Lato, sans-serif" xmlns="http://www.w3.org/2000/svg"><title>${escaped(sentence(one))}</title>${parts.join("")}</svg>`;
}

// elements

const ESCAPED = { "&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;", "'": "&#x27;" };
const escaped = (text) => text.replace(/[&<>"']/g, (c) => ESCAPED[c]);
const f1 = (x) => (x < 0 ? "-" : "") + fixed(x, 1);
const g4 = (x) => String(Number(x.toPrecision(4)));
const extra = (name, value) => (value ? ` ${name}="${value}"` : "");
const strokeLine = (x1, y1, x2, y2, width, cls = "", dash = "") => `<line x1="${f1(x1)}" y1="${f1(y1)}" x2="${f1(x2)}" y2="${f1(y2)}" stroke="currentColor" stroke-width="${g4(width)}"${extra("class", cls)}${extra("stroke-dasharray", dash)}/>`;
const stroke = (d, width = 1, cls = "") => `<path d="${d}" fill="none" stroke="currentColor" stroke-width="${g4(width)}"${extra("class", cls)}/>`;
const text = (x, y, words, size, bold = false) => `<text x="${f1(x)}" y="${f1(y)}" font-size="${size}" text-anchor="middle" fill="currentColor"${bold ? ' font-weight="700"' : ""}>${escaped(words)}</text>`;

// scale

const per = (length, distance) => length / Math.max(Math.abs(distance), TINY);

/** Return a straight scale: two limits stand at 1/4 and 3/4, one at 1/3 (lower) or 2/3 (upper). */
function scaleOf(one) {
  const { left, right } = one.size, width = right - left;
  if (one.lower !== null && one.upper !== null && one.upper > one.lower) return straight(one.lower, left + width / 4, per(width / 2, one.upper - one.lower));
  if (one.limits.length) return around(one, one.limits[0], left + width * (one.limits.length === 2 ? 1 / 2 : one.lower !== null ? 1 / 3 : 2 / 3));
  const points = pointsOf(one).length ? pointsOf(one) : [0, 1];
  const span = Math.max(...points) - Math.min(...points) || Math.abs(points[0]) || 1;
  return straight(Math.min(...points), left + width / 4, per(width / 2, span));
}

const straight = (value, at, each) => ({ per: each, x: (v) => at + (v - value) * each, value: (x) => value + (x - at) / each });

function pointsOf({ reading: read, expected: nominal, spread }) {
  const points = [read, nominal].filter((x) => x !== null);
  return read === null ? points : [...points, read - spread, read + spread];
}

// Reading, whiskers and expected reach at most 9/10 of their side of the limit.
function around(one, limit, at) {
  const { left, right } = one.size;
  const rooms = pointsOf(one).filter((point) => point !== limit).map((point) => per((point > limit ? right - at : at - left) * 0.9, point - limit));
  return straight(limit, at, rooms.length ? Math.min(...rooms) : per((right - left) / 4, limit || 1));
}

// line, ticks, limits

const line = ({ size, limits: there }) => [strokeLine(size.left, size.axis, size.right, size.axis, size.thin, "ip-axis", there.length ? "" : "4 4")];

function niceStep(span, wanted) {
  const raw = span / wanted, power = 10 ** Math.floor(Math.log10(raw));
  return [1, 2, 5, 10, 20].map((times) => times * power).find((step) => step >= raw);
}

function ticks({ size, limits: there }, at) {
  if (!there.length || size.isSmall) return [];
  const step = niceStep((size.right - size.left) / at.per, 18);
  const first = Math.ceil(at.value(size.left) / step - 1e-9), last = Math.floor(at.value(size.right) / step + 1e-9);
  const many = Math.max(Math.min(last, first + MOST_TICKS) - first + 1, 0);
  return Array.from({ length: many }, (_, i) => first + i).map((k) => strokeLine(at.x(k * step), size.axis, at.x(k * step), size.axis + (k % 5 === 0 ? 7 : 4), 1, "ip-tick"));
}

function allowed({ size, limits: there, lower, upper }, at) {
  if (!there.length) return [];
  const start = lower === null ? size.left : at.x(lower), end = upper === null ? size.right : at.x(upper);
  return [strokeLine(start, size.axis, end, size.axis, size.heavy, "ip-allowed"), ...(upper === null ? [arrow(size, size.right, -1)] : []), ...(lower === null ? [arrow(size, size.left, 1)] : [])];
}

function arrow(size, tip, way) {
  const back = tip + way * size.foot, half = size.foot * 0.7;
  return stroke(`M${f1(back)} ${f1(size.axis - half)}L${f1(tip)} ${size.axis}L${f1(back)} ${f1(size.axis + half)}`, size.heavy * 0.8, "ip-allowed");
}

const limits = (one, at) => [[one.lower, 1], [one.upper, -1]].filter(([limit]) => limit !== null).flatMap(([limit, side]) => bracket(one, at.x(limit), limit, side));

function bracket({ size, lower, upper, places }, x, limit, side) {
  const foot = x + side * size.foot;
  const bar = stroke(`M${f1(foot)} ${size.top}H${f1(x)}V${size.axis + size.drop - 3}H${f1(foot)}`, size.heavy, "ip-limit");
  return size.isSmall || (side < 0 && lower === upper) ? [bar] : [bar, text(x, LABEL_Y, number(limit, places), 15, true)];
}

function expected(one, at) {
  const { size } = one;
  if (one.expected === null || at.x(one.expected) < size.left || at.x(one.expected) > size.right) return [];
  const x = at.x(one.expected), half = size.triangle, foot = size.axis + half * 2;
  const mark = stroke(`M${f1(x - half)} ${f1(foot)}L${f1(x)} ${size.axis + 1.5}L${f1(x + half)} ${f1(foot)}Z`, size.isSmall ? 1 : 1.5, "ip-expected");
  const isCrowded = one.limits.some((limit) => Math.abs(x - at.x(limit)) <= LABEL_ROOM);
  return size.isSmall || isCrowded || one.note ? [mark] : [mark, text(x, LABEL_Y, number(one.expected, one.places), 15)];
}

const note = (one) => (one.note && !one.size.isSmall ? [text(one.size.width / 2, LABEL_Y, one.note, 14)] : []);

// reading

function reading(one, at) {
  if (one.reading === null) return [];
  const { size } = one, real = at.x(one.reading), radius = size.radius + (one.verdict === "unjudged" ? 1 : 0);
  const isOff = real < size.left || real > size.right;
  const x = isOff ? Math.min(Math.max(real, size.left + size.radius + 6), size.right - size.radius - 6) : real;
  return [...(isOff ? [] : whiskers(one, at, x, radius)), ...boundMark(one, x, radius), ...(isOff ? beyond(one, x, real, radius) : [strokeLine(x, size.level + radius, x, size.axis, 1, one.cls)]), ...mark(one, x, radius), ...figure(one, x)];
}

const dash = (one) => (one.verdict !== "unjudged" ? "" : one.size.isSmall ? "2.4 1.8" : "4 3");

function whiskers(one, at, x, radius) {
  const { size } = one, ends = [-1, 1].map((way) => at.x(one.reading + way * one.spread));
  const low = Math.max(ends[0], size.left), high = Math.min(ends[1], size.right);
  if (!(high - low > 2 * radius + 3)) return []; // a shorter whisker is hidden by the dot
  const width = size.heavy * 0.7;
  const caps = ends.filter((end) => end >= size.left && end <= size.right).map((end) => strokeLine(end, size.level - size.cap, end, size.level + size.cap, width, one.cls));
  if (one.verdict !== "unjudged") return [strokeLine(low, size.level, high, size.level, width, one.cls), ...caps];
  const gap = radius + 1.5; // the line stops at the ring, which stays open
  const halves = [[low, Math.min(x - gap, high)], [Math.max(x + gap, low), high]].filter(([a, b]) => b > a);
  return [...halves.map(([a, b]) => strokeLine(a, size.level, b, size.level, width, one.cls, dash(one))), ...caps];
}

// The arrow of a bound such as "> 999": the true value lies beyond the dot.
function boundMark({ size, bound, cls }, x, radius) {
  if (!["<", ">"].includes(bound) || size.isSmall) return [];
  const way = bound === ">" ? 1 : -1, step = radius * 0.8;
  return [stroke(`M${f1(x + way * (radius + 2))} ${f1(size.level - step)}l${f1(way * step)} ${f1(step)}l${f1(-way * step)} ${f1(step)}`, size.heavy * 0.6, cls)];
}

// The arrow head of a reading off the line, and the two strokes through the line.
function beyond({ size, cls }, x, real, radius) {
  const way = real < size.left ? -1 : 1, back = x + way * (radius + 1), tip = x + way * (radius + 6);
  const head = stroke(`M${f1(back)} ${size.level - 5}L${f1(tip)} ${size.level}L${f1(back)} ${size.level + 5}`, 2, cls);
  if (size.isSmall) return [head];
  const edge = way > 0 ? size.right - 26 : size.left + 20, foot = size.axis + 6;
  return [head, stroke(`M${f1(edge)} ${foot}l6 -12M${f1(edge + 6)} ${foot}l6 -12`, 1.5)];
}

function mark(one, x, radius) {
  const { size, cls } = one, place = (r) => `cx="${f1(x)}" cy="${f1(size.level)}" r="${g4(r)}"`;
  if (one.verdict === "unjudged") return [`<circle ${place(radius)} fill="none" stroke="currentColor" stroke-width="${size.isSmall ? 1.5 : 2}" stroke-dasharray="${dash(one)}" class="${cls} ring"/>`];
  return [`<circle ${place(radius + (size.isSmall ? 1 : 1.6))} fill="#fff" class="ground"/>`, `<circle ${place(radius)} fill="currentColor" class="${cls} dot"/>`];
}

function figure({ size, figure: words }, x) {
  if (size.isSmall) return [];
  const half = Math.max(34, words.length * 5), middle = size.width / 2; // keeps a long figure inside the picture
  return [text(Math.min(Math.max(x, Math.min(half, middle)), Math.max(size.width - half, middle)), 15, words, 17, true)];
}

// in words

function sentence(one) {
  const spread = one.spread ? ` ± ${number(one.spread, one.places)}` : "";
  const read = one.reading === null ? [] : [`Reading ${one.figure}${spread} ${one.unit}`.trimEnd()];
  const parts = [...read, limitWords(one), ...(one.expected === null ? [] : [`expected ${number(one.expected, one.places)}`])];
  const words = `${parts.join(", ")}: ${one.verdict}.`;
  return words.charAt(0).toUpperCase() + words.slice(1);
}

function limitWords({ limits: there, lower, places }) {
  const figures = there.map((x) => number(x, places));
  if (!figures.length) return "no limits";
  if (figures.length === 2) return `limits ${figures[0]} to ${figures[1]}`;
  return lower !== null ? `not below ${figures[0]}` : `not above ${figures[0]}`;
}
