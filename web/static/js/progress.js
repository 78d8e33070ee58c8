// @ts-check
// How far the reader has come, kept in the browser: which lessons were begun
// and which read to the end. The shelf shows it.

const key = "shaftbook:progress";

/** @typedef {"begun"|"read"} Mark */

/** @returns {Record<string, Mark>} */
function load() {
  try {
    return JSON.parse(localStorage.getItem(key) ?? "{}") ?? {};
  } catch {
    return {}; // storage is off or holds something else
  }
}

/** @param {string} lesson @param {Mark} mark */
function note(lesson, mark) {
  const marks = load();
  if (marks[lesson] === "read" || marks[lesson] === mark) return;
  marks[lesson] = mark;
  try {
    localStorage.setItem(key, JSON.stringify(marks));
  } catch {
    // Full or switched off: the shelf then shows no marks.
  }
}

/** Notes that a lesson was worked in, and that its end came in sight. @param {string} lesson @param {Element|null} end */
export function follow(lesson, end) {
  document.querySelector("main")?.addEventListener("input", () => note(lesson, "begun"), { once: true });
  if (!end) return;
  const watcher = new IntersectionObserver((entries) => {
    if (!entries.some((e) => e.isIntersecting)) return;
    note(lesson, "read");
    watcher.disconnect();
  });
  watcher.observe(end);
}

/** Writes the marks beside the entries of the shelf. */
export function showProgress() {
  const marks = load();
  for (const entry of document.querySelectorAll(".js-entry")) {
    const mark = marks[/** @type {HTMLElement} */ (entry).dataset.lesson ?? ""];
    const place = entry.querySelector(".js-progress");
    if (!mark || !place) continue;
    /** @type {HTMLElement} */ (entry).dataset.progress = mark;
    place.textContent = mark === "read" ? "read to the end" : "begun";
  }
}
