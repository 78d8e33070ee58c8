// @ts-check
// Says where results of a lesson are no longer those that its sentences speak of: what is
// written goes on with the lesson's own values. The sentence stands behind the first cell
// of a section in which a result has changed, if the section has numbers in its text.

const sentence = "The numbers in the sentences are those of the lesson as written.";

/** @type {Map<Element, HTMLElement>} by the text of a section */
const notes = new Map();

/** Takes note of a result that has changed. @param {Element} row */
export function noteChanged(row) {
  const cell = row.closest(".js-cell");
  const section = cell?.parentElement;
  if (!cell || !section || notes.has(section) || ![...section.children].some(saysNumber)) return;
  const note = document.createElement("p");
  note.className = "meta js-written";
  note.textContent = sentence;
  notes.set(section, note);
  cell.after(note);
}

// The button that restores the lesson is hidden where nothing differs from it.
const restore = document.querySelector(".js-restore-all");
if (restore) new MutationObserver(forget).observe(restore, { attributeFilter: ["hidden"] });

/** Takes all sentences away where the lesson is as written again. */
function forget() {
  if (!restore?.hasAttribute("hidden")) return;
  for (const note of notes.values()) note.remove();
  notes.clear();
}

/** Whether a piece of the text is prose with a number, other than in a formula. @param {Element} piece */
function saysNumber(piece) {
  return piece.matches("p, ul, ol, dl, blockquote, .scroll") &&
    [...piece.childNodes].some((node) => node.nodeName !== "math" && /\d/.test(node.textContent ?? ""));
}
