/* Loaded by every page. Only a browser that took a visit along, or kept something, has a book to look after. */
function hasBook() {
  try { return localStorage.getItem("logbook-phone") !== null; } catch { return false; }
}

if (hasBook()) import("./running.js");
