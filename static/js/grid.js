// Rows copied from a spreadsheet land in the cells of a grid. What a cell receives is what was copied:
// a decimal comma stays as it is, and the server asks back.

/** Return the copied text as rows of cells, or null where it is a single value. */
export function rowsOf(text, columnsLeft) {
  const lines = text.replace(/\r\n?/g, "\n").replace(/\n+$/, "").split("\n");
  const mark = ["\t", ";"].find((one) => text.includes(one)) ?? commaOf(lines, columnsLeft);
  if (!mark && lines.length === 1) return null;
  return lines.map((line) => (mark ? line.split(mark) : [line]).map((cell) => cell.trim()));
}

// A comma parts cells only where every line has as many as there are columns to fill: else it may be a decimal comma.
function commaOf(lines, columnsLeft) {
  const isTable = columnsLeft > 2 && lines.every((line) => line.split(",").length === columnsLeft);
  return isTable ? "," : null;
}

const cellsOf = (row) => [...row.querySelectorAll("td input")];
const rowsIn = (grid) => [...grid.querySelectorAll("tbody tr")];

function say(grid, words) {
  grid.querySelector("[data-grid-said]").textContent = words;
}

function addRow(grid) {
  const rows = rowsIn(grid);
  if (rows.length >= Number(grid.dataset.mostRows)) return false;
  const number = rows.length + 1;
  const row = rows.at(-1).cloneNode(true);
  row.querySelector("th").textContent = String(number);
  row.querySelectorAll("p").forEach((words) => words.remove());
  for (const cell of cellsOf(row)) {
    cell.name = cell.id = cell.name.replace(/-\d+-(?=[^-]+$)/, `-${number}-`);
    cell.setAttribute("aria-label", cell.getAttribute("aria-label").replace(/\d+/, String(number)));
    cell.removeAttribute("aria-invalid");
    cell.removeAttribute("aria-describedby");
    cell.value = "";
  }
  rows.at(-1).after(row);
  grid.querySelector("[data-grid-count]").value = String(number);
  return true;
}

function fill(grid, first, pasted) {
  const startRow = rowsIn(grid).indexOf(first.closest("tr"));
  const startColumn = cellsOf(first.closest("tr")).indexOf(first);
  let kept = 0;
  for (const [offset, values] of pasted.entries()) {
    while (rowsIn(grid).length <= startRow + offset && addRow(grid));
    const row = rowsIn(grid)[startRow + offset];
    if (!row) break;
    const cells = cellsOf(row).slice(startColumn);
    values.slice(0, cells.length).forEach((value, i) => { cells[i].value = value; });
    kept += 1;
  }
  const left = pasted.length - kept;
  const wide = pasted.some((values) => values.length > cellsOf(first.closest("tr")).length - startColumn);
  say(grid, `${kept} rows pasted.${left ? ` ${left} did not fit.` : ""}${wide ? " Columns beyond the last were left out." : ""} Check units and figures before you keep them.`);
}

document.addEventListener("paste", (event) => {
  const cell = event.target.closest?.("[data-grid] td input");
  if (!cell) return;
  const cells = cellsOf(cell.closest("tr"));
  const pasted = rowsOf(event.clipboardData.getData("text/plain"), cells.length - cells.indexOf(cell));
  if (!pasted) return;
  event.preventDefault();
  fill(cell.closest("[data-grid]"), cell, pasted);
});

document.addEventListener("click", (event) => {
  const button = event.target.closest?.("[data-grid-more]");
  if (!button) return;
  event.preventDefault();
  const grid = button.closest("[data-grid]");
  let added = 0;
  while (added < 10 && addRow(grid)) added += 1;
  say(grid, added ? `${added} rows added.` : "No more rows fit.");
});
