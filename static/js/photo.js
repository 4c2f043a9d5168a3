/* Says which photos are chosen, and makes large ones smaller before they are sent: signal on site is poor.
   Without this script the photo is sent as it is. */
const LARGE = 4 * 2 ** 20; // bytes; smaller ones go as they are
const SIDE = 3000; // px
const QUALITY = 0.85;

const megabytes = (size) => `${(size / 2 ** 20).toFixed(1)} MB`;

async function smaller(file) {
  if (file.size <= LARGE || !file.type.startsWith("image/")) return file;
  try {
    const image = await createImageBitmap(file, { imageOrientation: "from-image" });
    const ratio = Math.min(1, SIDE / Math.max(image.width, image.height));
    const canvas = document.createElement("canvas");
    canvas.width = Math.round(image.width * ratio);
    canvas.height = Math.round(image.height * ratio);
    canvas.getContext("2d").drawImage(image, 0, 0, canvas.width, canvas.height);
    image.close();
    const blob = await new Promise((done) => canvas.toBlob(done, "image/jpeg", QUALITY));
    return blob && blob.size < file.size ? new File([blob], file.name.replace(/\.\w+$/, ".jpg"), { type: "image/jpeg" }) : file;
  } catch {
    return file; // the server says what is wrong with it
  }
}

async function tell(input) {
  const words = input.closest(".field").querySelector("[data-photo-words]");
  const files = [...input.files];
  if (!files.length) { words.textContent = ""; return; }
  words.textContent = "Making ready …";
  const ready = await Promise.all(files.map(smaller));
  const list = new DataTransfer();
  for (const file of ready) list.items.add(file);
  input.files = list.files;
  const size = ready.reduce((sum, file) => sum + file.size, 0);
  words.textContent = `${ready.length === 1 ? "1 photo" : `${ready.length} photos`} chosen, ${megabytes(size)}`;
}

function start(root) {
  // The large button opens the camera; the browser's own one is there for pages without this script.
  for (const input of root.querySelectorAll("input[data-photo]")) input.classList.add("aside");
}

start(document);
document.addEventListener("htmx:load", (event) => start(event.detail.elt));
document.addEventListener("change", (event) => {
  if (event.target.matches("input[data-photo]")) tell(event.target);
});
