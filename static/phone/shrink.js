/* Photos made small on the phone, once: 1600 px and JPEG are enough to read a nameplate. What the camera wrote is named
   by its hash and by the time it claims; the picture that is sent is named by its own hash. */
import { digest } from "./canonical.js";
import { newId } from "./store.js";

const SIDE = 1600; // px
const QUALITY = 0.82;
const LARGEST = 40 * 2 ** 20; // bytes; no phone's camera writes more
const TIME_TAGS = [0x9003, 0x9004, 0x0132]; // Exif 2.32: DateTimeOriginal, DateTimeDigitized, DateTime
const EXIF_POINTER = 0x8769;

export class PhotoError extends Error {}

/** Return {blob, id, media_type, width, height, caption} of a file from the camera, ready to be kept. */
export async function shrunk(file) {
  if (file.size > LARGEST) throw new PhotoError(`${file.name}: is too large for a photo.`);
  const bytes = await file.arrayBuffer();
  const image = await decoded(file);
  const ratio = Math.min(1, SIDE / Math.max(image.width, image.height));
  const canvas = document.createElement("canvas");
  canvas.width = Math.max(1, Math.round(image.width * ratio));
  canvas.height = Math.max(1, Math.round(image.height * ratio));
  canvas.getContext("2d").drawImage(image, 0, 0, canvas.width, canvas.height);
  image.close();
  const blob = await new Promise((done) => { canvas.toBlob(done, "image/jpeg", QUALITY); });
  if (!blob) throw new PhotoError(`${file.name}: cannot be made smaller on this phone.`);
  return { blob, id: newId(), media_type: "image/jpeg", width: canvas.width, height: canvas.height, caption: captionOf(await digest(bytes), cameraTime(bytes)) };
}

async function decoded(file) {
  try {
    return await createImageBitmap(file, { imageOrientation: "from-image" });
  } catch {
    throw new PhotoError(`${file.name}: is no photo that this phone can read.`);
  }
}

const captionOf = (hash, time) => `file as taken: SHA-256 ${hash}${time ? `; the camera says ${time}` : ""}`;

/** Return the time that a JPEG claims to have been taken at, "2027-04-14 10:40:02", or empty. Only read, never believed. */
export function cameraTime(bytes) {
  try {
    const view = new DataView(bytes);
    const start = exifStart(view);
    return start ? timeIn(view, start) : "";
  } catch {
    return ""; // a header that ends too soon claims nothing
  }
}

function exifStart(view) {
  if (view.getUint16(0) !== 0xffd8) return 0;
  for (let at = 2; at + 4 < view.byteLength && view.getUint8(at) === 0xff; at += 2 + view.getUint16(at + 2)) {
    if (view.getUint8(at + 1) === 0xe1 && view.getUint32(at + 4) === 0x45786966) return at + 10; // "Exif"
  }
  return 0;
}

function timeIn(view, start) {
  const isLittle = view.getUint16(start) === 0x4949;
  const first = entries(view, start, view.getUint32(start + 4, isLittle), isLittle);
  const pointer = first.get(EXIF_POINTER);
  const all = new Map([...first, ...(pointer ? entries(view, start, view.getUint32(pointer, isLittle), isLittle) : [])]);
  for (const tag of TIME_TAGS) {
    if (!all.has(tag)) continue;
    const at = start + view.getUint32(all.get(tag), isLittle);
    const text = String.fromCharCode(...new Uint8Array(view.buffer, at, 19));
    if (/^\d{4}:\d\d:\d\d \d\d:\d\d:\d\d$/.test(text)) return text.replace(":", "-").replace(":", "-");
  }
  return "";
}

// Tag → place of its value, of one directory: twelve bytes an entry (TIFF 6.0).
function entries(view, start, offset, isLittle) {
  const found = new Map();
  const count = Math.min(view.getUint16(start + offset, isLittle), 200);
  for (let n = 0; n < count; n += 1) {
    const at = start + offset + 2 + 12 * n;
    found.set(view.getUint16(at, isLittle), at + 8);
  }
  return found;
}
