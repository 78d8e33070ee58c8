// @ts-check
// Guesses: made without leaving the page, and what they uncover. The forms work without
// this file. What is covered comes from the server with the answer to the guess;
// web/reader/guess.go is the other end.

import { Exercise } from "./exercise.js";
import { Order } from "./order.js";

/** @param {(sentence: string) => void} say @param {ParentNode} [root] */
export function attachGuesses(say, root = document) {
  for (const section of root.querySelectorAll(".js-guess")) new Guess(/** @type {HTMLElement} */ (section), say);
}

class Guess extends Exercise {
  /** @param {HTMLElement} piece */
  attach(piece) {
    super.attach(piece);
    for (const list of piece.querySelectorAll(".js-order")) new Order(/** @type {HTMLElement} */ (list), this.say);
    for (const field of piece.querySelectorAll(".js-sketch")) {
      import("./sketch.js").then(({ Sketch }) => new Sketch(/** @type {HTMLElement} */ (field)));
    }
  }

  /** @param {HTMLFormElement} form @param {{html: string, say: string, open?: Record<string, string>}} taken */
  taken(form, taken) {
    super.taken(form, taken);
    if (taken.open) uncover(this.root.closest("main") ?? document.body, taken.open);
  }
}

/**
 * Puts what was covered into its places.
 * @param {HTMLElement} root @param {Record<string, string>} open HTML by the number of the cover
 */
export function uncover(root, open) {
  for (const [number, html] of Object.entries(open)) {
    const place = root.querySelector(`[data-cover="${CSS.escape(number)}"]`);
    if (!place) continue;
    const box = document.createElement("template");
    box.innerHTML = html;
    place.replaceWith(box.content);
  }
  root.dispatchEvent(new Event("uncovered"));
}
