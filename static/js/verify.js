// Compares a chosen or dropped file with the hashes on the page, here on the device. Only its hash is asked after;
// the file itself is sent by the button alone. Browsers work out hashes only over HTTPS or on this very machine.
const form = document.querySelector("[data-verify]");
const answer = document.querySelector("[data-verify-answer]");
const asked = new URLSearchParams(location.search).get("sha256"); // this page answers for it: nothing more to look up
const known = form.dataset.verify.split(" ").filter(Boolean);

const hex = (buffer) => [...new Uint8Array(buffer)].map((one) => one.toString(16).padStart(2, "0")).join("");

async function compare(file) {
  if (!file) return;
  answer.textContent = "Comparing…";
  try {
    const found = hex(await crypto.subtle.digest("SHA-256", await file.arrayBuffer()));
    if (known.includes(found)) answer.textContent = "This is the file that was issued, unchanged.";
    else if (known.length) say(found);
    else if (found === asked) answer.textContent = "Chosen. Send it with the button: its seal is examined then.";
    else location.assign(`${form.dataset.ask}?sha256=${found}`);
  } catch {
    answer.textContent = "The file could not be read.";
  }
}

function say(found) {
  const link = Object.assign(document.createElement("a"), { href: `${form.dataset.ask}?sha256=${found}` });
  link.textContent = "Ask what is known of it";
  answer.replaceChildren(`This is another file, or it was changed. Its SHA-256 is ${found}. `, link);
}

if (globalThis.crypto?.subtle) {
  document.querySelector("[data-verify-hint]").textContent =
    "It is compared here, on your device. It is sent, and not kept, only if you press the button.";
  form.querySelector("input[type=file]").addEventListener("change", (event) => compare(event.target.files[0]));
  document.addEventListener("dragover", (event) => event.preventDefault());
  document.addEventListener("drop", (event) => {
    event.preventDefault();
    compare(event.dataTransfer.files[0]);
  });
}
