/* A drawn signature: canvas, hidden field, clear button. Without this script the part stays hidden
   and the typed name stands alone.

   <div data-signature hidden>
     <canvas aria-label="…"></canvas>
     <input type="hidden" name="…">
     <button type="button" data-signature-clear>…</button>
   </div>

   The field receives JSON: a list of strokes, each a list of [x, y, t]; x and y in CSS pixels from the
   canvas's corner, t in milliseconds from the first point. The server draws from these numbers. */
(() => {
  "use strict";
  const MOST_POINTS = 5000;
  const NEAREST = 0.8; // px; closer points add nothing that can be seen

  const tenth = (value) => Math.round(value * 10) / 10;
  const within = (value, most) => tenth(Math.min(Math.max(value, 0), most));

  function thinned(points) {
    const kept = [];
    for (const point of points) {
      const last = kept[kept.length - 1];
      if (!last || Math.hypot(point.x - last.x, point.y - last.y) >= NEAREST) kept.push(point);
    }
    return kept;
  }

  function halved(strokes) {
    return strokes.map((stroke) => stroke.filter((_, i) => i % 2 === 0 || i === stroke.length - 1));
  }

  function strokesOf(pad, canvas) {
    const groups = pad.toData();
    if (!groups.length) return [];
    const start = groups[0].points[0].time;
    const wide = canvas.clientWidth, high = canvas.clientHeight;
    let strokes = groups.map((group) =>
      thinned(group.points).map((p) => [within(p.x, wide), within(p.y, high), Math.max(0, Math.round(p.time - start))]));
    while (strokes.reduce((sum, stroke) => sum + stroke.length, 0) > MOST_POINTS) strokes = halved(strokes);
    return strokes;
  }

  function groupsOf(text, settings) {
    try {
      return JSON.parse(text).map((stroke) => ({
        ...settings, points: stroke.map(([x, y, time]) => ({ x, y, time: time || 0, pressure: 0.5 })),
      }));
    } catch {
      return [];
    }
  }

  function start(part) {
    const canvas = part.querySelector("canvas");
    const field = part.querySelector("input[type=hidden]");
    const clear = part.querySelector("[data-signature-clear]");
    if (!canvas || !field || part.dataset.signature === "on") return;
    part.dataset.signature = "on";
    part.hidden = false;

    const settings = { minWidth: 0.8, maxWidth: 2.4, penColor: getComputedStyle(canvas).color };
    const pad = new window.SignaturePad(canvas, settings);
    const keep = () => { field.value = pad.isEmpty() ? "" : JSON.stringify(strokesOf(pad, canvas)); };

    function fit() {
      const ratio = Math.max(window.devicePixelRatio || 1, 1);
      canvas.width = Math.round(canvas.clientWidth * ratio);
      canvas.height = Math.round(canvas.clientHeight * ratio);
      canvas.getContext("2d").scale(ratio, ratio);
      pad.clear();
      if (field.value) pad.fromData(groupsOf(field.value, settings));
    }

    pad.addEventListener("endStroke", keep);
    if (clear) clear.addEventListener("click", () => { pad.clear(); keep(); });
    new ResizeObserver(fit).observe(canvas);
  }

  function startAll(root) {
    if (!window.SignaturePad) return;
    if (root.matches && root.matches("[data-signature]")) start(root);
    root.querySelectorAll("[data-signature]").forEach(start);
  }

  startAll(document);
  document.addEventListener("htmx:load", (event) => startAll(event.detail.elt));
})();
