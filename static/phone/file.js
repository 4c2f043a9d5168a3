/* What is not yet sent, in one file: the last resort where sending does not work at all. The office reads it in. */
import { wallTime } from "./clock.js";
import { allItems, countNow, photo } from "./store.js";

/** Return a File with every item not yet sent, and its photos; null where there is none. */
export async function exportFile() {
  const items = (await allItems()).filter((one) => one.state === "kept" || one.state === "refused");
  if (!items.length) return null;
  const written = wallTime(new Date());
  const photos = {};
  for (const hash of new Set(items.flatMap((one) => one.photos))) photos[hash] = await base64((await photo(hash))?.bytes);
  const content = { logbook: 1, file: "phone", device: (await countNow()).id, written, items: items.map((one) => one.item), photos };
  const name = `logbook-phone-${written.slice(0, 16).replace(":", "-")}.json`;
  return new File([JSON.stringify(content)], name, { type: "application/json" });
}

function base64(bytes) {
  if (!bytes) return null;
  return new Promise((done, fail) => {
    const reader = new FileReader();
    reader.onload = () => done(reader.result.slice(reader.result.indexOf(",") + 1));
    reader.onerror = () => fail(reader.error);
    reader.readAsDataURL(new Blob([bytes]));
  });
}

/** Hand a file to the browser's own way of saving. */
export function save(file) {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(file);
  link.download = file.name;
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(link.href), 60000);
}
