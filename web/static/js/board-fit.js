// @ts-check
// Makes what a step shows as large as the window allows.

const least = 0.75; // of the type of the text, that the lettering of a figure and a formula must have
const fair = 0.8; // the same where a figure cannot be seen whole

/**
 * Makes the formulas of a step fit the column, and its figures as large as they
 * can be with all of the step in the window, but no larger than the type. A
 * figure whose lettering the back row could not read then is made taller than
 * the window.
 * @param {HTMLElement[]} newest @param {number} high px that a step may have
 */
export function fit(newest, high) {
  for (const e of newest) narrow(e);
  for (const figure of newest.flatMap((e) => [.../** @type {NodeListOf<HTMLElement>} */ (e.querySelectorAll(".picture"))])) {
    fitFigure(figure, () => high - (newest[newest.length - 1].getBoundingClientRect().bottom - newest[0].getBoundingClientRect().top));
  }
}

/**
 * A way to set a figure: which form, its width and height in its own units, and
 * whether its diagrams stand beside the drawing, with the height of that.
 * @typedef {{form: string, side: boolean, wide: number, high: number, first: number}} Setting
 */

/** @param {HTMLElement} figure @returns {Setting[]} */
function settings(figure) {
  return ["wide", "narrow"].flatMap((form) => {
    const boxes = [...figure.querySelectorAll(`.at-${form} svg`)].map((svg) => /** @type {SVGSVGElement} */ (svg).viewBox.baseVal);
    if (boxes.length === 0) return [];
    const wide = Math.max(...boxes.map((b) => b.width));
    const stacked = { form, side: false, wide, high: boxes.reduce((h, b) => h + b.height, 0), first: 0 };
    if (boxes.length < 2) return [stacked];
    return [stacked, { form, side: true, wide: 2 * wide, high: boxes[1].height, first: boxes[0].height }];
  });
}

/**
 * Chooses the setting with the largest lettering.
 * @param {HTMLElement} figure @param {() => number} rest px of height that is left when the figure has none
 */
function fitFigure(figure, rest) {
  const all = settings(figure);
  if (all.length === 0) return;
  const type = parseFloat(getComputedStyle(document.documentElement).fontSize);
  const unit = Number(figure.querySelector("svg")?.getAttribute("font-size")); // of the lettering
  const gap = 0.5 * type;
  delete figure.dataset.side;
  figure.style.setProperty("--wide", "0px");
  const px = rest();
  const caption = figure.querySelector("figcaption")?.getBoundingClientRect().height ?? 0;
  const room = figure.clientWidth;
  /** How large a unit is by the room across. @param {Setting} s */
  const across = (s) => Math.min((room - (s.side ? gap : 0)) / s.wide, type / unit);
  /** The same with all of the figure seen; a caption of half the width has twice the height. @param {Setting} s */
  const whole = (s) => Math.min(across(s), s.side ? Math.min((px + caption) / s.high, (px - caption) / s.first) : px / s.high);
  let chosen = all.reduce((a, b) => whole(b) > whole(a) ? b : a);
  let size = whole(chosen);
  if (size * unit < least * type) {
    const tall = (/** @type {Setting} */ s) => Math.min(across(s), fair * type / unit);
    const seen = all.filter((s) => tall(s) * unit >= least * type);
    chosen = (seen.length ? seen : all).reduce((a, b) => tall(b) * b.high < tall(a) * a.high ? b : a);
    size = tall(chosen);
  }
  figure.style.setProperty("--wide", `${size * chosen.wide + (chosen.side ? gap : 0)}px`);
  figure.dataset.form = chosen.form;
  if (chosen.side) figure.dataset.side = "";
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
