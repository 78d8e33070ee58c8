// @ts-check
// Makes what a step shows as large as the window allows.

const least = 0.75; // of the type of the text, that the lettering of a figure and a formula must have

/**
 * Makes the formulas of a step fit the column, and its figures as large as they
 * can be with all of the step in the window. A drawing whose lettering the back
 * row could not read then is made taller than the window. Of the two forms of a
 * drawing the one is shown whose lettering comes out larger.
 * @param {HTMLElement[]} newest @param {number} high px that a step may have
 */
export function fit(newest, high) {
  for (const e of newest) narrow(e);
  const type = parseFloat(getComputedStyle(document.documentElement).fontSize);
  for (const figure of newest.flatMap((e) => [.../** @type {NodeListOf<HTMLElement>} */ (e.querySelectorAll(".picture"))])) {
    const forms = [...figure.querySelectorAll("svg")];
    if (forms.length === 0) continue;
    const written = (/** @type {SVGSVGElement} */ svg) => Number(svg.getAttribute("font-size")); // px, drawn at its own size
    const lettering = (/** @type {SVGSVGElement} */ svg, /** @type {number} */ px) =>
      written(svg) * Math.min(figure.clientWidth / svg.viewBox.baseVal.width, px / svg.viewBox.baseVal.height);
    const best = (/** @type {(svg: SVGSVGElement) => number} */ px) =>
      forms.reduce((a, b) => lettering(b, px(b)) > lettering(a, px(a)) ? b : a);

    figure.style.setProperty("--high", "0px");
    let px = high - (newest[newest.length - 1].getBoundingClientRect().bottom - newest[0].getBoundingClientRect().top);
    let chosen = best(() => px);
    if (lettering(chosen, px) < least * type) {
      const tall = (/** @type {SVGSVGElement} */ svg) => type / written(svg) * svg.viewBox.baseVal.height;
      chosen = best(tall);
      px = tall(chosen);
    }
    figure.style.setProperty("--high", `${px}px`);
    figure.dataset.form = chosen.closest(".at-narrow") ? "narrow" : "wide";
  }
}

/** Sets formulas that are wider than the column in smaller type. @param {HTMLElement} element */
function narrow(element) {
  const within = /** @type {HTMLElement[]} */ ([element, ...element.querySelectorAll(".formula, .chain")]);
  for (const formula of within.filter((e) => e.matches(".formula, .chain"))) {
    formula.style.fontSize = "";
    const ratio = formula.clientWidth / formula.scrollWidth;
    if (ratio < 1) formula.style.fontSize = `${Math.max(least, 0.99 * ratio)}em`;
  }
}
