// @ts-check
// The sliders of a lesson where they are in use: in the margin beside each section that
// they move, and on a narrow window in a bar at its foot. Each follows the slider of the
// statement, which alone talks to the server.

import { Track } from "./track.js";

/** Puts the value of a statement wherever the page repeats it. @param {HTMLElement} row */
export function showValue(row) {
  if (!row.id) return;
  const value = row.dataset.value ?? "";
  for (const place of document.querySelectorAll(`[data-value-of="${CSS.escape(row.id)}"]`)) {
    if (place.textContent !== value) place.textContent = value;
  }
}

/** @param {HTMLElement} root the lesson */
export function attachHands(root) {
  const hands = [...root.querySelectorAll(".js-hand")].map((box) => new Hand(/** @type {HTMLElement} */ (box), root));
  const bar = new Bar(root);
  root.addEventListener("input", (event) => {
    const slider = event.target instanceof Element && event.target.closest(".js-slider");
    if (!(slider instanceof HTMLElement)) return;
    for (const hand of hands) if (hand.name === slider.dataset.name) hand.follow();
    bar.use(slider.dataset.name ?? "");
  });
  return () => {
    for (const hand of hands) hand.follow();
    bar.follow();
  };
}

/** @param {HTMLElement} root @param {string} name @returns {HTMLInputElement|null} */
function rangeOf(root, name) {
  return root.querySelector(`.js-slider[data-name="${CSS.escape(name)}"] input[type=range]`);
}

/** Makes one range follow another and move it. */
class Follower {
  /** @param {HTMLElement} root @param {HTMLInputElement} range */
  constructor(root, range) {
    this.root = root;
    this.range = range;
    this.name = "";
    /** @type {Track|null} */
    this.track = null;
    range.type = "range";
    range.autocomplete = "off";
    range.addEventListener("input", () => {
      const own = rangeOf(this.root, this.name);
      if (!own) return;
      own.value = range.value;
      own.dispatchEvent(new Event("input", { bubbles: true }));
    });
  }

  /** @returns {boolean} whether there is a slider of this name */
  follow() {
    const own = rangeOf(this.root, this.name);
    if (!own) return false;
    for (const key of /** @type {const} */ (["min", "max", "step"])) if (this.range[key] !== own[key]) this.range[key] = own[key];
    if (this.range.value !== own.value) this.range.value = own.value;
    this.range.dataset.scale = own.dataset.scale ?? "";
    for (const key of ["aria-label", "aria-valuetext"]) this.range.setAttribute(key, own.getAttribute(key) ?? "");
    this.track ??= new Track(this.range);
    this.track.draw();
    return true;
  }
}

class Hand {
  /** @param {HTMLElement} box with data-name @param {HTMLElement} root */
  constructor(box, root) {
    this.box = box;
    this.name = box.dataset.name ?? "";
    const range = document.createElement("input");
    this.follower = new Follower(root, range);
    this.follower.name = this.name;
    box.querySelector(".hand-name")?.after(range);
    this.follow();
  }

  follow() {
    this.box.hidden = !this.follower.follow();
  }
}

/** The slider that was moved last, while its own place is not in view. */
class Bar {
  /** @param {HTMLElement} root */
  constructor(root) {
    this.root = root;
    this.name = "";
    this.seen = false; // whether its own place is in view
    this.box = document.createElement("div");
    this.box.className = "hand-bar";
    this.box.hidden = true;
    this.box.setAttribute("role", "group");
    this.label = document.createElement("span");
    this.output = document.createElement("output");
    const range = document.createElement("input");
    this.follower = new Follower(root, range);
    this.box.append(this.label, range, this.output);
    root.append(this.box);
    this.watcher = new IntersectionObserver((entries) => {
      for (const entry of entries) this.seen = entry.isIntersecting;
      this.show();
    });
  }

  /** @param {string} name */
  use(name) {
    if (this.name !== name) {
      this.name = this.follower.name = name;
      this.watcher.disconnect();
      const own = rangeOf(this.root, name)?.closest(".row");
      const formula = own?.querySelector(".formula");
      if (own) this.watcher.observe(own);
      this.label.replaceChildren(...(formula ? [...formula.cloneNode(true).childNodes] : [name]));
      this.box.setAttribute("aria-label", `Slider ${name}`);
    }
    this.follow();
  }

  follow() {
    if (!this.name || !this.follower.follow()) this.name = "";
    this.output.textContent = this.follower.range.getAttribute("aria-valuetext");
    this.show();
  }

  show() {
    this.box.hidden = !this.name || this.seen;
  }
}
