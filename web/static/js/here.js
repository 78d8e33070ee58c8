// @ts-check
// Tells the server which heading or cell is in view, so that the instructor in
// the room sees where the class is. Only the page of an assignment does so.

const rest = 2000; // ms between two places
const sign = "~"; // in the name of an assigned lesson, see package class

/** @param {HTMLElement} root the lesson @param {import("./live.js").Live} live */
export function attachHere(root, live) {
  if (!(root.dataset.lesson ?? "").includes(sign)) return;
  const places = /** @type {HTMLElement[]} */ ([...root.querySelectorAll("h2[id], h3[id], .js-cell[id], .js-exercise, .js-derivation[id]")])
    // The title of an exercise has an id of its own, which is no place.
    .filter((place) => !place.parentElement?.closest(".js-exercise"));
  /** @type {Set<Element>} */
  const inView = new Set();
  let told = "";
  let last = -rest;
  let timer = 0;

  const here = () => {
    if (document.visibilityState === "hidden") return "";
    // What is read stands in the upper half of the window; between two places it
    // is the one above, and before the first one that.
    const seen = places.find((place) => inView.has(place));
    const passed = places.findLast((place) => place.getBoundingClientRect().top < 0);
    return idOf(seen ?? passed ?? places[0]);
  };
  const tell = () => {
    timer = 0;
    const place = here();
    if (place === told) return;
    told = place;
    last = performance.now();
    live.here(place);
  };
  const soon = () => {
    if (!timer) timer = setTimeout(tell, Math.max(0, last + rest - performance.now()));
  };

  const watcher = new IntersectionObserver((entries) => {
    for (const { target, isIntersecting } of entries) {
      if (isIntersecting) inView.add(target);
      else inView.delete(target);
    }
    soon();
  }, { rootMargin: "-5% 0px -50% 0px" });
  for (const place of places) watcher.observe(place);
  document.addEventListener("visibilitychange", soon);
  live.addEventListener("online", () => {
    if (told) live.here(told); // a new connection knows nothing
  });
}

/** A folded exercise has its name inside, where a link opens it. @param {HTMLElement|undefined} place */
function idOf(place) {
  return place?.dataset.id ?? place?.id ?? "";
}
