/* What a person does on the pages of a visit that was taken along: each form becomes one piece of evidence in the
   phone's own book. A form that is refused says why at the field, and keeps what was typed. */
import { digest } from "./canonical.js";
import { askBack, clearErrors, showErrors, showFailure } from "./faults.js";
import { readForm, rightToken, wallOf } from "./form.js";
import { readCorrections } from "./record.js";
import { day } from "./say.js";
import { PhotoError, shrunk } from "./shrink.js";
import { stepsNow } from "./steps.js";
import { keep, newId } from "./store.js";
import { wanted, whyNotKept } from "./check_page.js";
import { clockNow } from "./clock.js";
import { forget } from "./drafts.js";

const kept = (visit, kind, body, more = {}) => keep({ kind, site: visit.pack.site, visit: visit.pack.visit, body, ...more });
const labelOf = (line) => `${line.number} ${line.check.title}, ${line.subject}`;
const now = () => clockNow().wall;

/** Carry out a form. Resolves with {url, words}: where to go on and what to say, or null where it was refused. */
export async function carryOut(form, submitter, place, visit, foresee) {
  clearErrors(form);
  const act = actOf(form, place);
  try {
    const done = await act(form, { visit, place, submitter, foresee, text: textOf(form) });
    if (done) await forget(form);
    return done;
  } catch (error) {
    if (error instanceof PhotoError) showErrors(form, { photos: error.message });
    else if (error.reason) showFailure(form, error.reason);
    else throw error;
    return null;
  }
}

const textOf = (form) => {
  const data = new FormData(form);
  return (name) => String(data.get(name) ?? "").trim();
};

function actOf(form, place) {
  if (form.dataset.measure || "asBefore" in form.dataset) return measure;
  if (form.dataset.answer) return answer;
  if (form.dataset.defect || place.defect) return putRight;
  if (form.dataset.correct) return correct;
  if ("ownerSaid" in form.dataset) return keepSaying;
  if (place.owed) return setAside;
  return { hold: release, "defect/": raise, "photos/": addPhotos, "sign/": sign, "end/": end }[place.hold ? "hold" : place.page];
}

function refused(form, errors) {
  showErrors(form, errors);
  return null;
}

// a measurement

async function measure(form, { visit, place, foresee }) {
  const line = place.line;
  const want = wanted(line, place.query);
  const refusal = whyNotKept(visit, line);
  if (refusal) return refused(form, { "": refusal });
  const former = want.isReplacing && line.check.repeat.shape === "rows" ? line.measurement : null;
  const { units, zone, pack } = visit;
  const asked = { line, way: want.way, steps: stepsNow(line, want), units, zone, startedAt: pack.started_at, former, instruments: pack.instruments, isReplacing: want.isReplacing };
  const { errors, doubts, entry } = readForm(form, asked);
  if (Object.keys(errors).length) return refused(form, errors);
  if (doubts.length && form.dataset.right !== rightToken(doubts)) {
    form.dataset.firstSent ||= entry.at.toISOString();
    askBack(form, doubts, rightToken(doubts));
    return null;
  }
  const photos = await photosOf(form);
  const body = bodyOf(line, want, entry, visit);
  await kept(visit, "measurement.taken", body, { photos, label: labelOf(line), shown: foresee(body) });
  return { url: place.url + (want.back ? `?back=${encodeURIComponent(want.back)}` : ""), words: "", focus: "#result" };
}

const photosOf = (form) => Promise.all([...(form.querySelector("input[type=file]")?.files ?? [])].map(shrunk));

function bodyOf(line, want, entry, visit) {
  const body = {
    id: newId(), visit: visit.pack.visit, check: line.checkKey, subject: line.subject, way: want.way?.key ?? "",
    taken_at: wallOf(entry.at), answer: entry.answer, note: entry.note, readings: entry.readings,
    ...(entry.fromPaper && { origin_note: "field sheet" }),
  };
  if (want.addsRow) return withRows(body, line.measurement);
  return want.isReplacing ? { ...body, supersedes: line.measurement.id, supersedes_reason: entry.reason } : body;
}

// Every row that is kept makes a new measurement with all of them, so that a row can no longer be lost.
function withRows(body, former) {
  const rows = [...new Set(body.readings.map((one) => one.label).filter(Boolean))].join(", ");
  return {
    ...body, readings: [...former.readings.map(asTyped), ...body.readings],
    note: [former.note, body.note].filter(Boolean).join("\n"), supersedes: former.id, supersedes_reason: `${rows} added`,
  };
}

const asTyped = ({ input, label, typed, unit, at, instrument }) => ({ input, label, typed, unit, instrument, ...(at && { at }) });

// the small acts

const SAID = { parked: "parked", cannot_be_taken: "cannot be taken", does_not_apply: "does not apply here", taken_up: "taken up again", as_before: "read, as before" };

async function setAside(form, { visit, place, submitter, text }) {
  const { line } = place;
  const isSent = form.elements.sent_on;
  const how = isSent ? "parked" : submitter?.value ?? "";
  if (isSent && !text("sent_on")) return refused(form, { sent_on: "Give the day." });
  if (["cannot_be_taken", "does_not_apply", "as_before"].includes(how) && !text("reason")) return refused(form, { reason: "Say why." });
  const reason = isSent ? `sent to the laboratory ${day(new Date(`${text("sent_on")}T12:00Z`), "UTC")}` : text("reason");
  const body = { id: newId(), visit: visit.pack.visit, check: line.checkKey, subject: line.subject, how, reason };
  await kept(visit, "check.set_aside", body, { label: `${labelOf(line)}: ${SAID[how]}` });
  return { url: how === "taken_up" ? place.url : visit.pack.urls.visit, words: `${line.check.title}, ${line.subject}: ${SAID[how]}.` };
}

async function release(form, { visit, place, text }) {
  const { hold } = place;
  if (hold.only_settled) return refused(form, { "": `This hold can only be settled by good checks, never released: ${hold.why}.` });
  if (hold.standing !== "stands") return refused(form, { "": `This hold does not stand: it is ${hold.standing}.` });
  if (!text("reason")) return refused(form, { reason: "Say why work may go on." });
  await kept(visit, "hold.released", { id: newId(), visit: visit.pack.visit, hold: hold.key, reason: text("reason") }, { label: `Hold released: ${hold.title}` });
  return { url: place.url, words: `Hold “${hold.title}” is released. It is printed on the sheet.` };
}

async function raise(form, { visit, place, text }) {
  if (!text("words")) return refused(form, { words: "Say what is to be put right." });
  const line = visit.byId.get(place.query.get("check") ?? "");
  const body = {
    id: newId(), visit: visit.pack.visit, words: text("words"), is_unsafe: form.elements.is_unsafe.checked, check: line?.checkKey ?? "",
    subject: line?.subject ?? "", who: text("who"), due: text("due") || null,
  };
  await kept(visit, "defect.raised", body, { label: `Defect: ${body.words.slice(0, 60)}` });
  return { url: line ? `${visit.pack.urls.visit}${line.id}/` : visit.pack.urls.visit, words: "The defect is raised." };
}

async function putRight(form, { visit, place, text }) {
  if (!text("words")) return refused(form, { words: "Say what was done." });
  const id = form.dataset.defect || place.defect;
  await kept(visit, "defect.put_right", { defect: id, words: text("words") }, { label: `Defect put right: ${text("words").slice(0, 60)}` });
  return { url: visit.pack.urls.visit, words: "The defect is put right." };
}

async function answer(form, { visit, place, submitter, text }) {
  const reading = submitter?.name === "reading" ? submitter.value : "";
  if (!reading && !text("words")) return refused(form, { words: "Say what the answer is." });
  const body = { id: newId(), question: form.dataset.answer, words: text("words"), measurement: reading || null };
  await kept(visit, "question.answered", body, { label: `Answer: ${body.words.slice(0, 60) || "the new reading"}` });
  return { url: place.url, words: "The question is answered." };
}

async function addPhotos(form, { visit, place }) {
  const pictures = await photosOf(form);
  if (!pictures.length) return refused(form, { photos: "Choose a photo." });
  const measurement = place.query.get("measurement");
  for (const picture of pictures) {
    const { blob, ...said } = picture;
    const body = { ...said, id: newId(), sha256: await hashOf(blob), visit: visit.pack.visit, measurement: measurement || null, taken_at: now() };
    await kept(visit, "photo.added", body, { photos: [picture], label: "Photo" });
  }
  const line = visit.all.find((one) => one.measurement?.id === measurement);
  const words = pictures.length === 1 ? "1 photo kept on this phone." : `${pictures.length} photos kept on this phone.`;
  return { url: line ? `${visit.pack.urls.visit}${line.id}/` : visit.pack.urls.visit, words };
}

const hashOf = async (blob) => digest(await blob.arrayBuffer());

async function sign(form, { visit, place, text }) {
  const errors = {};
  if (!text("meaning")) errors.meaning = "Choose what your signature says.";
  if (!text("printed_name")) errors.printed_name = "Give your name.";
  if (!text("role")) errors.role = "Say in which role you sign.";
  if (Object.keys(errors).length) return refused(form, errors);
  const body = {
    id: newId(), visit: visit.pack.visit, printed_name: text("printed_name"), role: text("role"), meaning: text("meaning"),
    strokes: text("strokes"), shown_hash: text("shown_hash"),
  };
  await kept(visit, "visit.signed", body, { label: `Signature: ${body.printed_name}` });
  return { url: place.url, words: `Signed by ${body.printed_name}.` };
}

async function end(form, { visit, text }) {
  if (!visit.signatures.length) return refused(form, { "": "Nobody has signed this visit yet. Sign it first." });
  const isLeft = form.elements.left_isolated.checked;
  if (isLeft && !text("reason")) return refused(form, { reason: "Say what is shut off, and why." });
  await kept(visit, "visit.ended", { visit: visit.pack.visit, left_isolated: isLeft, reason: isLeft ? text("reason") : "" }, { label: "End of the visit" });
  return { url: visit.pack.urls.visit, words: "The visit is ended." };
}

async function keepSaying(form, { visit, place, text }) {
  const symptoms = new FormData(form).getAll("symptoms");
  if (!symptoms.length && !text("words")) return refused(form, { words: "Choose what the owner says, or write it." });
  const body = { id: newId(), visit: visit.pack.visit, symptoms, words: text("words") };
  await kept(visit, "owner.said", body, { label: "What the owner says" });
  return { url: place.url, words: "What the owner says is kept on this phone. The order of checks puts first what it asks for." };
}

async function correct(form, { visit, text }) {
  const { errors, doubts, change } = readCorrections(form, visit, text);
  if (Object.keys(errors).length) return refused(form, errors);
  if (doubts.length && form.dataset.right !== rightToken(doubts)) {
    askBack(form, doubts, rightToken(doubts));
    return null;
  }
  if (!change) return refused(form, { "": "Nothing is changed yet." });
  const reason = text("reason");
  await kept(visit, "record.changed", { changes: [change], ...(reason && { reason }) }, { label: `Record: ${visit.pack.as_built.items[change.id].tag}` });
  return { url: visit.pack.urls.record, words: `${visit.pack.as_built.items[change.id].tag} is put right on this phone. Windows that rest on it are judged by the server.` };
}

