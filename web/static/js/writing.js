// @ts-check
// The page of a lesson that is written: loads itself again when the lesson has been saved,
// at the place that has changed, and says what is to be mended as soon as that is known.

import "./changed.js"; // so that it is there when the lesson changes

const lesson = /** @type {HTMLElement|null} */ (document.querySelector(".js-lesson"));
const slug = lesson?.dataset.lesson ?? "";
const key = `shaftbook:writing:${location.pathname}${location.search}`;
const lines = () => /** @type {HTMLElement[]} */ ([...document.querySelectorAll(".writing-line")]);
const prints = () => lines().map((line) => line.dataset.block ?? "");

/** Notes what is in view, so that the page comes back to it. */
function leave() {
  const all = lines();
  const below = all.findIndex((line) => line.getBoundingClientRect().top > 0);
  const at = Math.max(0, (below < 0 ? all.length : below) - 1);
  const place = { prints: prints(), at, top: all[at]?.getBoundingClientRect().top ?? 0, scroll: scrollY };
  try {
    sessionStorage.setItem(key, JSON.stringify(place));
  } catch {
    // Without storage the page begins at its top.
  }
}

/** Goes back to what was in view or, if that is elsewhere, to what has changed. */
function comeBack() {
  const stored = sessionStorage.getItem(key);
  sessionStorage.removeItem(key);
  if (stored === null) return;
  /** @type {{prints: string[], at: number, top: number, scroll: number}} */
  const before = JSON.parse(stored);
  const all = lines();
  const { from, to, place } = moved(before.prints, prints(), before.at);
  history.scrollRestoration = "manual";
  const settle = () => {
    const line = all[place];
    if (line) scrollTo({ top: scrollY + line.getBoundingClientRect().top - before.top, behavior: "instant" });
    else scrollTo({ top: before.scroll, behavior: "instant" });
    const changed = all.slice(from, to).map((l) => /** @type {HTMLElement} */ (l.nextElementSibling ?? l));
    if (changed.length > 0 && !changed.some(isInView)) changed[0].scrollIntoView({ block: "center", behavior: "instant" });
  };
  for (const line of all.slice(from, to)) line.classList.add("is-changed");
  settle();
  addEventListener("load", settle, { once: true });
}

/** @param {HTMLElement} element */
function isInView(element) {
  const { top, bottom } = element.getBoundingClientRect();
  return bottom > 0 && top < innerHeight;
}

/**
 * Returns which blocks have changed, from one to before another, and where the one at a
 * place is.
 * @param {string[]} before @param {string[]} after @param {number} at
 */
export function moved(before, after, at) {
  const most = Math.min(before.length, after.length);
  let from = 0;
  while (from < most && before[from] === after[from]) from++;
  let same = 0;
  while (same < most - from && before[before.length - 1 - same] === after[after.length - 1 - same]) same++;
  const to = after.length - same;
  let place = at;
  if (at >= before.length - same) place = at + after.length - before.length;
  else if (at >= from) place = Math.min(at, Math.max(from, to - 1));
  return { from, to, place };
}

let leaving = false;
function again() {
  if (leaving) return;
  leaving = true;
  leave();
  location.reload();
}

/** Asks what is to be said of the lesson, and waits for it to change. */
async function follow() {
  const list = document.querySelector(".js-writing-findings");
  let state = "";
  while (!leaving) {
    try {
      const answer = await fetch(`/write/${slug}/found?state=${state}`, { cache: "no-store" });
      if (answer.status === 200) {
        /** @type {{state: string, version: string, list: string, notes: Record<string, string>}} */
        const found = await answer.json();
        state = found.state;
        if (lesson && lesson.dataset.version !== found.version) return again();
        if (list) list.innerHTML = found.list;
        for (const line of lines()) {
          const note = found.notes[line.id] ?? "";
          if (line.innerHTML !== note) line.innerHTML = note;
        }
      } else if (answer.status !== 204) await rest(2000);
    } catch {
      await rest(1000); // the server is away
    }
  }
}

/** @param {number} ms */
const rest = (ms) => new Promise((resolve) => setTimeout(resolve, ms));

if (lesson && slug) {
  lesson.addEventListener("lesson-changed", (event) => {
    if (/** @type {CustomEvent} */ (event).detail === "") return; // it is gone, and the page says so
    event.preventDefault();
    again();
  });
  comeBack();
  follow();
}
