// @ts-check
// Formulas that are wider than their place, even with a line for each of their parts,
// are set smaller until they fit or the smallest size is reached; then they scroll.

const smallest = 5; // of data-size, see cell.css

/** Fits all formulas of the page, now and whenever their places change. */
export function attachFormulas() {
  // Not within the observer's own call: a size that changes there is told as an error.
  const watcher = new ResizeObserver((entries) => {
    requestAnimationFrame(() => {
      for (const { target } of entries) fit(/** @type {HTMLElement} */ (target));
    });
  });
  /** @type {WeakSet<Element>} */
  const known = new WeakSet();
  const watch = () => {
    for (const place of document.querySelectorAll(".formula, .chain")) {
      if (known.has(place)) continue;
      known.add(place);
      fit(/** @type {HTMLElement} */ (place));
      watcher.observe(place);
    }
  };
  watch();
  new MutationObserver(watch).observe(document.body, { childList: true, subtree: true });
}

/** @param {HTMLElement} place */
function fit(place) {
  if (place.clientWidth === 0) return;
  const width = String(place.parentElement?.clientWidth);
  if (place.dataset.fitted === width && !overflows(place)) return;
  place.dataset.fitted = width;
  delete place.dataset.size;
  for (let size = 1; size <= smallest && overflows(place); size++) place.dataset.size = String(size);
}

/** @param {HTMLElement} place */
function overflows(place) {
  return place.scrollWidth > place.clientWidth + 1;
}
