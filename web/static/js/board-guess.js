// @ts-check
// Guesses on the board. What is right is a step of its own; when it comes, what the guess
// covers comes too.

import { uncover } from "./guess.js";

/** @param {HTMLElement} root */
export function attachBoardGuesses(root) {
  for (const fold of root.querySelectorAll(".js-truth > details")) fold.setAttribute("open", ""); // a step, not a fold
  const box = root.querySelector("template.js-covers");
  if (!(box instanceof HTMLTemplateElement)) return;
  const truths = [...root.querySelectorAll(".js-truth")];
  const look = () => {
    const made = truths.filter((t) => !t.closest("[data-ahead]")).map((t) => t.closest("section")?.id ?? "");
    /** @type {Record<string, string>} */
    const open = {};
    for (const piece of /** @type {NodeListOf<HTMLElement>} */ (box.content.querySelectorAll("[data-guesses]"))) {
      if ((piece.dataset.guesses ?? "").split(" ").every((id) => made.includes(id))) {
        open[piece.dataset.cover ?? ""] = piece.innerHTML;
        piece.remove();
      }
    }
    if (Object.keys(open).length) uncover(root, open);
  };
  new MutationObserver(look).observe(root, { subtree: true, attributeFilter: ["data-ahead"] });
  look();
}
