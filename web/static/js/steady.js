// @ts-check
// The text that is being typed stays where it is in the window: messages, marks and
// buttons above it come and go with every key.

/** @param {HTMLElement} root what changes its size when anything in it does */
export function attachSteady(root) {
  /** @type {Element|null} */
  let typed = null;
  let at = 0; // where it stands in the page
  const place = (/** @type {Element} */ text) => text.getBoundingClientRect().top + scrollY;
  root.addEventListener("focusin", () => {
    typed = document.activeElement?.matches(".editor > textarea") ? document.activeElement : null;
    if (typed) at = place(typed);
  });
  new ResizeObserver(() => {
    if (!typed || typed !== document.activeElement) return;
    const by = place(typed) - at;
    at += by;
    if (Math.abs(by) >= 1) scrollBy({ top: by, behavior: "instant" });
  }).observe(root);
}
