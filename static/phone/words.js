/* Sizes, times and sentences as the phone's own pages print them. */

export const size = (bytes) => (bytes < 1e6 ? `${Math.max(1, Math.round(bytes / 1e3))} kB` : `${(bytes / 1e6).toFixed(1)} MB`);

/** Return how long ago something was: "just now", "12 min ago", "3 h ago", "5 days ago". */
export function ago(then, now) {
  const minutes = Math.max(0, (now - then) / 60000);
  if (minutes < 1) return "just now";
  if (minutes < 90) return `${Math.round(minutes)} min ago`;
  if (minutes < 36 * 60) return `${Math.round(minutes / 60)} h ago`;
  return `${Math.round(minutes / 1440)} days ago`;
}

/** Return a wall time as it was on the phone: "10:44, 14 Apr". */
export function wallWords(wall) {
  const date = new Date(`${wall.slice(0, 10)}T12:00:00Z`);
  const day = new Intl.DateTimeFormat("en-GB", { day: "numeric", month: "short", timeZone: "UTC" }).format(date);
  return `${wall.slice(11, 16)}, ${day}`;
}

/** Return whether the browser will keep what is here, as honestly as a page can know it. */
export function stayWords({ persisted, installed, asked }) {
  if (persisted) return "Yes. This browser has promised not to clear it by itself; who clears the browser’s data by hand clears it too.";
  const home = installed
    ? "The logbook is on the home screen: that helps."
    : "Put the logbook on the home screen and open it from there. Some phones clear a page that is merely open in a tab after 7 days without a visit.";
  return `${asked ? "The browser has not promised it" : "Not asked yet"}, and may clear it when storage runs short. ${home} Send whenever there is signal.`;
}

const KINDS = {
  "measurement.taken": "Measurement", "photo.added": "Photo", "check.set_aside": "Set aside", "hold.released": "Hold released",
  "defect.raised": "Defect", "defect.put_right": "Defect put right", "visit.signed": "Signature", "visit.ended": "End of the visit",
  "record.changed": "As-built record", "question.answered": "Answer", "item.dropped": "Given up", "owner.said": "What the owner says",
};

/** Return what an item is called where nobody gave it a label. */
export function nameOf({ label, kind, item }) {
  if (label) return label;
  const { check, subject, hold } = item.body;
  const about = [check?.replaceAll("_", " "), subject, hold].filter(Boolean).join(", ");
  return about ? `${KINDS[kind] ?? kind}: ${about}` : (KINDS[kind] ?? kind);
}
