/* Pieces of pages: the server's own markup, cloned and filled. A place that receives nothing is left out. */

/** Put the pieces of a pack into the page, once. */
export function layOut(markup) {
  if (document.getElementById("pieces")) return;
  const store = document.createElement("div");
  store.id = "pieces";
  store.hidden = true;
  store.innerHTML = markup; // the server's own templates, out of the pack; what people typed goes in as text only
  document.body.append(store);
}

/** Return a filled copy of a piece. A value is a text, a node, a list of nodes, or true to leave what is there. */
export function piece(name, values = {}) {
  const made = document.getElementById(`sk-${name}`).content.firstElementChild.cloneNode(true);
  for (const place of made.querySelectorAll("[data-href]")) address(place, values[place.dataset.href]);
  if (made.dataset.href) address(made, values[made.dataset.href]);
  for (const place of made.querySelectorAll("[data-slot]")) put(place, values[place.dataset.slot]);
  if (made.dataset.slot && made.dataset.slot in values) put(made, values[made.dataset.slot]);
  return made;
}

function address(place, url) {
  if (!url) place.remove();
  else place.setAttribute(place.tagName === "FORM" ? "action" : "href", url);
}

function put(place, value) {
  const isEmpty = value === undefined || value === null || value === "" || value === false || (Array.isArray(value) && !value.length);
  if (isEmpty) place.remove();
  else if (value !== true) place.replaceChildren(...(Array.isArray(value) ? value : [String(value) === value || typeof value === "number" ? String(value) : value]));
}

/** Return an element with a text: `element("td", "12 V", "n")`. */
export function element(name, text = "", className = "") {
  const made = document.createElement(name);
  if (className) made.className = className;
  made.append(text);
  return made;
}

/** Return a link. */
export function link(url, words, className = "plain") {
  const made = element("a", words, className);
  made.href = url;
  return made;
}
