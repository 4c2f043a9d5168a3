/* Room for figures when there is none left for pictures. Browsers no longer say how much room there is, so a few
   megabytes of nothing lie in the database: a photo may not use them, a figure that finds no room gets them. */
import { StoreError, asked, transact } from "./database.js";

const SIZE = 4 * 2 ** 20; // bytes: some thousand readings

/** Lay the ballast down where it is not; a phone without room for it has no room for photos. */
export async function layBallast() {
  const lies = await transact(["meta"], "readonly", (t) => asked(t.objectStore("meta").getKey("ballast")));
  if (lies) return;
  try {
    await transact(["meta"], "readwrite", async (t) => { t.objectStore("meta").put({ key: "ballast", bytes: noise() }); });
  } catch (error) {
    throw error.reason === "full" ? new StoreError("photos-full", error) : error;
  }
}

/** Run `write`; where it finds no room, throw the ballast out and run it once more, unless it has photos. */
export async function withBallast(photos, write) {
  try {
    return await write();
  } catch (error) {
    if (error.reason !== "full") throw error;
    if (photos.length) throw new StoreError("photos-full", error);
  }
  await transact(["meta"], "readwrite", async (t) => { t.objectStore("meta").delete("ballast"); });
  return write();
}

// Zeros would be pressed to nothing and hold no room.
function noise() {
  const bytes = new Uint8Array(SIZE);
  for (let at = 0; at < SIZE; at += 65536) crypto.getRandomValues(bytes.subarray(at, at + 65536));
  return bytes;
}
