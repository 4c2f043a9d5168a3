/* What is typed and not kept yet survives a reload, a closed browser, a flat battery: each form's fields and chosen photos
   lie in a database of their own until the form is kept. */

const DELAY = 250; // ms after the last key
const STORE = "drafts";
let opening = null;
const timers = new WeakMap();

function open() {
  opening ??= new Promise((done, fail) => {
    const request = indexedDB.open("logbook-drafts", 1);
    request.onupgradeneeded = () => request.result.createObjectStore(STORE, { keyPath: "place" });
    request.onsuccess = () => done(request.result);
    request.onerror = () => fail(request.error);
  });
  return opening;
}

async function ask(mode, work) {
  const store = (await open()).transaction(STORE, mode).objectStore(STORE);
  return new Promise((done, fail) => {
    const request = work(store);
    request.onsuccess = () => done(request.result);
    request.onerror = () => fail(request.error);
  });
}

const placeOf = (form) => form.dataset.draft;

const fieldsOf = (form) => [...form.elements].filter((one) => one.name && !["hidden", "file", "submit", "button"].includes(one.type));

function typedIn(form) {
  const typed = {};
  for (const one of fieldsOf(form)) {
    if (["radio", "checkbox"].includes(one.type)) {
      if (one.checked) typed[one.name] = one.value;
    } else if (one.value) typed[one.name] = one.value;
  }
  return typed;
}

/** Follow a form under a name of its place, and put back what was typed there before. */
export async function follow(form, place) {
  form.dataset.draft = place;
  form.addEventListener("input", () => later(form));
  form.addEventListener("change", () => later(form));
  const draft = await ask("readonly", (store) => store.get(place)).catch(() => null); // no storage: the page itself still has it
  if (draft) putBack(form, draft);
}

function putBack(form, { typed, files }) {
  for (const one of fieldsOf(form)) {
    if (["radio", "checkbox"].includes(one.type)) {
      if (one.name in typed) one.checked = typed[one.name] === one.value;
    } else if (one.name in typed && !one.value) one.value = typed[one.name];
    else if (one.tagName === "SELECT" && one.name in typed) one.value = typed[one.name];
  }
  const input = form.querySelector("input[type=file]");
  if (input && files?.length && !input.files.length) {
    const list = new DataTransfer();
    files.forEach((file) => list.items.add(file));
    input.files = list.files;
    input.dispatchEvent(new Event("change", { bubbles: true }));
  }
  form.dispatchEvent(new Event("input", { bubbles: true }));
}

function later(form) {
  clearTimeout(timers.get(form));
  timers.set(form, setTimeout(() => store(form), DELAY));
}

function store(form) {
  const files = [...(form.querySelector("input[type=file]")?.files ?? [])];
  return ask("readwrite", (drafts) => drafts.put({ place: placeOf(form), typed: typedIn(form), files })).catch(() => {});
}

/** Let go of a draft: it is kept now. */
export async function forget(form) {
  clearTimeout(timers.get(form));
  if (placeOf(form)) await ask("readwrite", (drafts) => drafts.delete(placeOf(form))).catch(() => {});
}
