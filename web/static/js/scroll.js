// @ts-check
// A formula that is wider than its column scrolls sideways. Some browsers let no
// key reach what scrolls, so it is made a stop of the Tab key while it does.

const wide = 'math[display="block"], .paper-line > span, .row > .formula';

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
  boxes.forEach((box, i) => scrolls[i] ? box.setAttribute("tabindex", "0") : box.removeAttribute("tabindex"));
}
