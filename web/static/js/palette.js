// @ts-check
// The row of signs that are hard to type. Pressing one puts it at the caret
// and leaves the caret in the text.

/** @type {[string, string][]} sign and what it is called */
const signs = [
  ["·", "times"], ["√", "square root"], ["²", "squared"], ["³", "cubed"], ["⁴", "to the fourth"],
  ["π", "pi"], ["θ", "theta"], ["τ", "tau"], ["Δ", "Delta"], ["≤", "at most"], ["≥", "at least"],
  ["≈", "about equal"], ["±", "plus or minus"], ["∑", "sum"], ["∫", "integral"],
];

/**
 * @param {(sign: string) => void} put
 * @param {string[]} wanted the signs to offer, all unless said
 * @returns {HTMLElement}
 */
export function palette(put, wanted = signs.map(([sign]) => sign)) {
  const bar = document.createElement("div");
  bar.className = "palette";
  bar.setAttribute("role", "group");
  bar.setAttribute("aria-label", "Insert a symbol");
  for (const [sign, name] of signs) {
    if (!wanted.includes(sign)) continue;
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = sign;
    button.setAttribute("aria-label", name);
    button.title = name;
    button.addEventListener("pointerdown", (event) => event.preventDefault()); // keep the caret
    button.addEventListener("click", () => put(sign));
    bar.append(button);
  }
  return bar;
}
