/* Photos follow their items in pieces, so that a cut costs one piece. The server says how much it has; the last piece
   is followed by the test of the whole: its SHA-256 must be the photo's name. */
import { notePhotoDone } from "./outbox.js";
import { ask, refusal } from "./server.js";
import { allItems, photo } from "./store.js";

const PIECE = 256 * 1024; // bytes

/** Send the photos of this person's sent items; return how it ended early, or null. */
export async function sendPhotos(user, csrf, announce) {
  const sent = (await allItems()).filter((one) => one.state === "sent" && one.user === user);
  const names = [...new Set(sent.flatMap((one) => one.photos))];
  for (const [index, name] of names.entries()) {
    const picture = await photo(name);
    if (!picture || picture.done) continue;
    announce({ what: "sending", photos: true, done: index, total: names.length });
    const ended = await sendPhoto(picture, csrf);
    if (ended) return ended;
  }
  return null;
}

async function sendPhoto(picture, csrf) {
  const address = `/phone/photo/${picture.sha256}/`;
  let answer = await ask(address);
  for (let pieces = 2 * Math.ceil(picture.size / PIECE) + 3; answer.status === 200 && !answer.data.done && pieces > 0; pieces -= 1) {
    const offset = Number(answer.data.have ?? 0);
    const body = picture.bytes.slice(offset, offset + PIECE);
    const query = `?offset=${offset}&total=${picture.size}`;
    answer = await ask(address + query, { method: "PUT", type: "application/octet-stream", csrf, body });
    if (answer.status === 422) answer = await ask(address); // the whole was not what its name says: from the start again
  }
  if (answer.status !== 200) return refusal(answer.status, answer.after);
  if (!answer.data.done) return { word: "later", after: 0 };
  await notePhotoDone(picture.sha256);
  return null;
}
