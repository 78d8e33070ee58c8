// @ts-check
// A table that fits its page scrolls with it, and its headings stay at the top of the
// window. One that is wider scrolls in a box of its own, which keys have to reach.
// Style sheets tell the two apart by data-fits; without scripts the box scrolls
// sideways.

export function attachFits() {
  for (const box of /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll(".js-fits"))) {
    const table = /** @type {HTMLElement|null} */ (box.firstElementChild);
    if (!table) continue;
    const look = () => {
      const fits = table.offsetWidth <= box.clientWidth;
      box.dataset.fits = fits ? "yes" : "no";
      if (fits) box.removeAttribute("tabindex");
      else box.tabIndex = 0;
    };
    const observer = new ResizeObserver(() => requestAnimationFrame(look)); // it changes what is observed
    observer.observe(box);
    observer.observe(table);
  }
  // The page that is shown is in view in its row of links.
  for (const here of /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll("nav [aria-current]"))) {
    const row = here.closest("nav");
    if (row && row.scrollWidth > row.clientWidth) row.scrollLeft = here.getBoundingClientRect().right - row.getBoundingClientRect().right + 24;
  }
}
