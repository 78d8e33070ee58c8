// @ts-check
// A formula that is wider than its column scrolls sideways. Some browsers let no
// key reach what scrolls, so it is made a stop of the Tab key while it does.

const tables = ".scroll:not(.js-fits)";
const wide = 'math[display="block"], .paper-line > span, .row > .formula, span.formula';

export function attachScrolls() {
  look();
  addEventListener("resize", look);
  addEventListener("toggle", look, true); // what was folded away had no width
  document.fonts.ready.then(look);
  // Formulas change while a reader edits; one look when they have come to rest.
  let waiting = 0;
  new MutationObserver(() => {
    clearTimeout(waiting);
    waiting = setTimeout(look, 300);
  }).observe(document.body, { childList: true, subtree: true });
}

function look() {
  const boxes = /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll(wide));
  const scrolls = [...boxes].map((box) => box.scrollWidth > box.clientWidth); // all are read before any is changed
  const folded = /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll(tables));
  const fits = [...folded].map((box) => box.scrollWidth > box.clientWidth ? "no" : "yes");
  folded.forEach((box, i) => { box.dataset.fits = fits[i]; }); // a style sheet says what to do
  boxes.forEach((box, i) => scrolls[i] ? box.setAttribute("tabindex", "0") : box.removeAttribute("tabindex"));
}
