// Compares a chosen or dropped file with the hash on the page, here on the device: the file is not sent.
// Browsers work out hashes only on pages that came over HTTPS, or from this very machine.
const printed = document.querySelector("[data-file-hash]")?.dataset.fileHash;
const part = document.querySelector("[data-verify]");
const answer = document.querySelector("[data-verify-answer]");

const hex = (buffer) => [...new Uint8Array(buffer)].map((one) => one.toString(16).padStart(2, "0")).join("");

async function compare(file) {
  if (!file) return;
  answer.textContent = "Comparing…";
  try {
    const found = hex(await crypto.subtle.digest("SHA-256", await file.arrayBuffer()));
    answer.textContent = found === printed
      ? "This is the file that was issued, unchanged."
      : `This is another file, or it was changed. Its SHA-256 is ${found}`;
  } catch {
    answer.textContent = "The file could not be read.";
  }
}

if (printed && part && !globalThis.crypto?.subtle) {
  answer.textContent = "This page did not come over HTTPS, so the browser cannot compare files. Work out the SHA-256 of your file yourself and compare it with the one above.";
} else if (printed && part) {
  part.hidden = false;
  answer.textContent = "";
  part.querySelector("input").addEventListener("change", (event) => compare(event.target.files[0]));
  document.addEventListener("dragover", (event) => event.preventDefault());
  document.addEventListener("drop", (event) => {
    event.preventDefault();
    compare(event.dataTransfer.files[0]);
  });
}
