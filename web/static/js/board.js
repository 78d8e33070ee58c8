// @ts-check
// The board view: shows a lesson to a room one step at a time. A step is a
// paragraph, a list, a figure, a row of a cell or one thing that is asked; a
// heading comes with what follows it. Everything stays in the document: a step
// that is still ahead keeps its place and is not seen, so that nothing moves
// when it comes. What is live in the lesson is live here, through main.js; this
// module only shows, hides and scrolls.

import { blocksOf } from "./board-blocks.js";
import { fit } from "./board-fit.js";
import { Pointer } from "./board-pointer.js";
import { addKeys } from "./keys.js";

const breath = 10; // px kept free above and below the newest step
const lectern = 0.4; // of the window's height, where the newest step begins: seen over the heads of the front rows
const stride = 0.8; // of the window, by which a step that is taller than it is scrolled

const calm = matchMedia("(prefers-reduced-motion: reduce)");

class Board {
  /** @param {HTMLElement} root the lesson @param {HTMLElement} bar */
  constructor(root, bar) {
    this.root = root;
    this.bar = bar;
    this.blocks = blocksOf(root);
    // Where the room is: in which block, and how many of its steps are shown.
    this.at = 0;
    this.shown = 1;
    this.everything = false;
    this.back = this.button(".js-back");
    this.next = this.button(".js-next");
    this.all = this.button(".js-all");
    this.count = /** @type {HTMLOutputElement} */ (bar.querySelector(".js-count"));
    this.leave = /** @type {HTMLAnchorElement} */ (bar.querySelector(".js-leave"));
    this.lesson = this.leave.pathname;
    this.back.addEventListener("click", () => this.goBack());
    this.next.addEventListener("click", () => this.goOn());
    this.all.addEventListener("click", () => this.toggleAll());
    this.attachKeys(new Pointer(this.button(".js-point")));
    this.measureBar();
    this.follow();
    this.reach();
  }

  /** @param {string} name @returns {HTMLButtonElement} */
  button(name) {
    return /** @type {HTMLButtonElement} */ (this.bar.querySelector(name));
  }

  get total() {
    return this.blocks.reduce((n, b) => n + b.size, 0);
  }

  /** The number of the newest step, from 1. */
  get step() {
    return this.blocks.slice(0, this.at).reduce((n, b) => n + b.size, 0) + this.shown;
  }

  /** What came with the newest step. */
  get newest() {
    return this.blocks[this.at].newest(this.shown);
  }

  /** Where the bar begins, in px of the window. */
  get low() {
    return innerHeight - this.bar.offsetHeight;
  }

  /** Where the newest step begins and ends, in px of the window, with room around it. */
  get extent() {
    const newest = this.newest;
    return {
      top: newest[0].getBoundingClientRect().top - breath,
      bottom: newest[newest.length - 1].getBoundingClientRect().bottom + breath,
    };
  }

  /** Shows what has come and hides what is ahead. */
  show() {
    this.blocks.forEach((b, i) => b.show(this.everything || i < this.at ? Infinity : i > this.at ? 0 : this.shown));
    const newest = this.newest;
    for (const e of this.root.querySelectorAll("[data-newest]")) e.toggleAttribute("data-newest", newest.includes(/** @type {HTMLElement} */ (e)));
    for (const e of newest) e.toggleAttribute("data-newest", !this.everything);
    this.tell();
    this.leave.href = this.lesson + anchorOf(newest[0]);
    this.root.dataset.ready = "";
  }

  /** Says where the room is, in the bar and in the address. */
  tell() {
    const { step, total, everything } = this;
    const words = everything ? `all ${total} steps` : `step ${step} of ${total}`;
    if (this.count.textContent !== words) this.count.textContent = words; // it is read aloud
    this.all.setAttribute("aria-pressed", String(everything));
    this.back.setAttribute("aria-disabled", String(!everything && step === 1));
    this.next.setAttribute("aria-disabled", String(!everything && step === total));
    // Browsers refuse an address that is set too often.
    if (location.hash !== `#step-${step}`) history.replaceState(history.state, "", `#step-${step}`);
  }

  /** Brings the newest step to its height, or higher if it would go behind the bar. @param {boolean} still at once */
  look(still) {
    if (this.everything) {
      for (const b of this.blocks) for (const part of b.parts()) fit(part, this.low - 2 * breath);
      return;
    }
    fit(this.newest, this.low - 2 * breath);
    const { top, bottom } = this.extent;
    const by = top - Math.max(0, Math.min(lectern * innerHeight - breath, this.low - (bottom - top)));
    if (Math.abs(by) >= 1) scrollBy({ top: by, behavior: still || calm.matches ? "instant" : "smooth" });
  }

  /** @param {number} step from 1 @param {boolean} still */
  go(step, still = false) {
    this.everything = false;
    let left = Math.min(Math.max(1, step), this.total);
    for (this.at = 0; left > this.blocks[this.at].size; this.at++) left -= this.blocks[this.at].size;
    this.shown = left;
    this.show();
    this.look(still);
  }

  goOn() {
    if (this.everything) return this.go(this.step);
    if (!this.scroll(1)) this.go(this.step + 1);
  }

  goBack() {
    if (this.everything) return this.go(this.step);
    if (!this.scroll(-1)) this.go(this.step - 1);
  }

  /** Scrolls within a step that is taller than the window, if there is more of it. @param {1|-1} way */
  scroll(way) {
    const { top, bottom } = this.extent;
    const rest = way > 0 ? bottom - this.low : -top;
    if (bottom - top <= this.low || rest < 2) return false;
    scrollBy({ top: way * Math.min(rest, stride * this.low), behavior: calm.matches ? "instant" : "smooth" });
    return true;
  }

  toggleAll() {
    this.everything = !this.everything;
    this.show();
    this.look(true);
  }

  /** @param {Pointer} pointer */
  attachKeys(pointer) {
    const on = key(() => this.byKey(() => this.goOn()));
    const back = key(() => this.byKey(() => this.goBack()));
    addKeys({
      " ": on,
      PageDown: on,
      PageUp: back,
      ArrowRight: (...pressed) => pointer.move(pressed[2], 1, 0) || on(...pressed),
      ArrowLeft: (...pressed) => pointer.move(pressed[2], -1, 0) || back(...pressed),
      ArrowUp: (...pressed) => pointer.move(pressed[2], 0, -1),
      ArrowDown: (...pressed) => pointer.move(pressed[2], 0, 1),
      Home: key(() => this.byKey(() => this.go(1))),
      End: key(() => this.byKey(() => this.go(this.total))),
      a: key(() => this.toggleAll()),
      p: key(() => pointer.toggle()),
    });
    document.addEventListener("keydown", ({ key, target }) => {
      if (key === "Escape" && target instanceof HTMLInputElement && this.root.contains(target)) target.blur();
    });
  }

  /** Goes on by a key. Where the eye goes the ear and the Tab key go, too. @param {() => void} move */
  byKey(move) {
    move();
    const first = this.newest[0];
    if (this.bar.contains(document.activeElement) || scrollsAside(first)) return;
    if (!first.hasAttribute("tabindex")) first.tabIndex = -1;
    first.focus({ preventScroll: true });
  }

  /** Goes to the step of the address, or shows up to the place that it names. */
  reach() {
    const step = /^#step-(\d+)$/.exec(location.hash);
    if (step) return this.go(Number(step[1]), true);
    const place = named(location.hash);
    const found = place ? this.blocks.findIndex((b) => b.body.contains(place) || b.heads.includes(place)) : -1;
    if (!place || found < 0) return this.show();
    const part = this.blocks[found].parts().findIndex((p) => p.some((e) => e.contains(place))) + 1 || 1;
    if (found > this.at || found === this.at && part > this.shown) {
      this.at = found;
      this.shown = part;
    }
    this.show();
    if (this.newest.some((e) => e.contains(place))) this.look(true);
    else place.scrollIntoView({ block: "nearest" });
  }

  /** Keeps step with the address, the text of the cells and the window. */
  follow() {
    const rows = new MutationObserver((changes) => {
      if (changes.some((c) => c.target === this.blocks[this.at].rows)) this.rowsChanged();
      this.show();
    });
    for (const b of this.blocks) if (b.rows) rows.observe(b.rows, { childList: true });
    this.root.addEventListener("toggle", ({ target }) => {
      if (this.newest.some((e) => e.contains(/** @type {Node} */ (target)))) this.look(false);
    }, true);
    this.root.addEventListener("uncovered", () => { // what a guess covered has come, perhaps above
      this.look(false);
      this.settle(false);
    });
    new ResizeObserver(() => this.measureBar()).observe(this.bar);
    addEventListener("hashchange", () => this.reach());
    for (const later of ["resize", "load"]) addEventListener(later, () => this.look(true));
    document.fonts.addEventListener("loadingdone", () => this.look(true));
    this.settle(true);
  }

  /** Keeps the newest step at its height while the page above it fills, until somebody does something. @param {boolean} still at once */
  settle(still) {
    const sizes = new ResizeObserver(() => this.look(still));
    sizes.observe(this.root);
    for (const name of ["pointerdown", "keydown", "wheel", "touchmove"]) addEventListener(name, () => sizes.disconnect(), { once: true, passive: true, capture: true });
  }

  /** Tells the style sheet how high the bar is, which figures make room for. */
  measureBar() {
    document.documentElement.style.setProperty("--bar", `${this.bar.offsetHeight}px`);
  }

  /** Rows have come or gone. Who has shown all of a cell sees what is added to it, too. */
  rowsChanged() {
    const block = this.blocks[this.at];
    const size = block.parts().length;
    this.shown = this.shown >= block.size ? size : Math.min(this.shown, size);
  }
}

/** What an address names. @param {string} hash @returns {HTMLElement|null} */
function named(hash) {
  try {
    return document.getElementById(decodeURIComponent(hash.slice(1)));
  } catch {
    return null; // it names nothing, as it is written
  }
}

/** The nearest place before an element that an address can name. @param {HTMLElement} element */
function anchorOf(element) {
  for (let e = /** @type {Element|null} */ (element); e && !e.matches("main"); e = e.previousElementSibling ?? e.parentElement) {
    if (e.id) return `#${e.id}`;
  }
  return "";
}

/**
 * A key of the board. It leaves alone what a field, a slider, a button or a box
 * that scrolls does with it.
 * @param {() => void} act @returns {import("./keys.js").Act}
 */
function key(act) {
  return (_dialog, _status, event) => {
    const target = /** @type {Element} */ (event.target);
    if (target.closest("input, select, textarea")) return false;
    if (event.key === " " && target.closest("button, summary, a, label")) return false;
    if (event.key.startsWith("Arrow") && scrollsAside(target)) return false;
    act();
    return true;
  };
}

/** Whether the arrows move an element sideways. @param {Element} element */
function scrollsAside(element) {
  return element.matches("[tabindex='0']") && element.scrollWidth > element.clientWidth;
}

const root = /** @type {HTMLElement|null} */ (document.querySelector(".js-board"));
const bar = /** @type {HTMLElement|null} */ (document.querySelector(".js-board-bar"));
if (root && bar) {
  const board = new Board(root, bar);
  if (root.querySelector(".js-truth")) {
    import("./board-guess.js").then(({ attachBoardGuesses }) => {
      attachBoardGuesses(root);
      board.look(true); // the folds that it opened may stand above
    });
  }
}
