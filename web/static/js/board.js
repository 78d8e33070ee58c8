// @ts-check
// The board view: shows a lesson to a room one step at a time. A step is a
// paragraph, a list, a figure, a row of a cell or one thing that is asked; a
// heading comes with what follows it. Everything stays in the document: a step
// that is still ahead keeps its place and is not seen, so that nothing moves
// when it comes. What is live in the lesson is live here, through main.js; this
// module only shows, hides and scrolls.

import { addKeys } from "./keys.js";

const breath = 16; // px kept free above and below the newest step
const nudge = 0.04; // of the window, that a key moves the pointer
const least = 0.75; // of the type of the text, that the lettering of a figure and a formula must have

/** A piece of the lesson that fills up step by step. */
class Block {
  /** @param {HTMLElement[]} heads come with the first step @param {HTMLElement} body */
  constructor(heads, body) {
    this.heads = heads;
    this.body = body;
    this.rows = /** @type {HTMLElement|null} */ (body.querySelector(":scope > .js-rows"));
    this.size = this.parts().length;
  }

  /** The steps as they stand now, each with the elements that make it. @returns {HTMLElement[][]} */
  parts() {
    if (this.body.matches(".js-asked")) return [...this.body.children].map((c) => [/** @type {HTMLElement} */ (c)]);
    if (!this.rows || this.rows.children.length === 0) return [[this.body]];
    /** @type {HTMLElement[][]} */
    const parts = [];
    let before = /** @type {HTMLElement[]} */ ([]);
    for (const row of /** @type {HTMLCollectionOf<HTMLElement>} */ (this.rows.children)) {
      before.push(row);
      // A row that only says how results are written is no news by itself.
      if (row.dataset.kind === "prefer" && row.nextElementSibling) continue;
      parts.push(before);
      before = [];
    }
    return parts;
  }

  /** Shows the first steps. @param {number} shown */
  show(shown) {
    const parts = this.parts();
    this.size = parts.length;
    for (const e of this.heads) e.toggleAttribute("data-ahead", shown === 0);
    this.body.toggleAttribute("data-ahead", shown === 0);
    if (parts[0][0] === this.body) return;
    parts.forEach((part, i) => part.forEach((e) => e.toggleAttribute("data-ahead", i >= shown)));
    if (!this.rows) return;
    // The foot of a cell holds its text, which is ahead until all rows are there.
    for (const e of this.body.children) if (e !== this.rows) e.toggleAttribute("data-ahead", shown < parts.length);
  }

  /** Everything that is new with a step. @param {number} step from 1 @returns {HTMLElement[]} */
  newest(step) {
    const parts = this.parts();
    const part = parts[Math.min(step, parts.length) - 1];
    return step === 1 ? [...this.heads, ...part] : part;
  }
}

/** @param {HTMLElement} root @returns {Block[]} */
function blocksOf(root) {
  /** @type {Block[]} */
  const blocks = [];
  /** @type {HTMLElement[]} */
  let heads = [];
  for (const e of /** @type {HTMLCollectionOf<HTMLElement>} */ (root.children)) {
    if (e.hidden || e.matches(".busy, .offline")) continue;
    if (e.matches("h1, h2, h3, h4, h5, h6, hr")) {
      heads.push(e);
      continue;
    }
    blocks.push(new Block(heads, e));
    heads = [];
  }
  if (heads.length) blocks.push(new Block(heads.slice(0, -1), heads[heads.length - 1]));
  return blocks;
}

function attachBoard() {
  const root = /** @type {HTMLElement} */ (document.querySelector(".js-board"));
  const bar = /** @type {HTMLElement} */ (document.querySelector(".js-board-bar"));
  const blocks = blocksOf(root);
  const button = (/** @type {string} */ name) => /** @type {HTMLButtonElement} */ (bar.querySelector(name));
  const back = button(".js-back"), next = button(".js-next"), all = button(".js-all");
  const count = /** @type {HTMLOutputElement} */ (bar.querySelector(".js-count"));
  const leave = /** @type {HTMLAnchorElement} */ (bar.querySelector(".js-leave"));
  const away = leave.pathname;
  const calm = matchMedia("(prefers-reduced-motion: reduce)");
  // Where the room is: in which block, and how many of its steps are shown.
  let at = 0;
  let shown = 1;
  let everything = false;

  const total = () => blocks.reduce((n, b) => n + b.size, 0);
  const step = () => blocks.slice(0, at).reduce((n, b) => n + b.size, 0) + shown;

  /** Shows what has come and hides what is ahead. */
  const show = () => {
    blocks.forEach((b, i) => b.show(everything || i < at ? b.size : i > at ? 0 : shown));
    const newest = blocks[at].newest(shown);
    for (const e of root.querySelectorAll("[data-newest]")) if (!newest.includes(/** @type {HTMLElement} */ (e))) e.removeAttribute("data-newest");
    for (const e of newest) e.toggleAttribute("data-newest", !everything);
    const n = step(), most = total();
    const words = everything ? `all ${most} steps` : `step ${n} of ${most}`;
    if (count.textContent !== words) count.textContent = words;
    all.setAttribute("aria-pressed", String(everything));
    back.setAttribute("aria-disabled", String(!everything && n === 1));
    next.setAttribute("aria-disabled", String(!everything && n === most));
    history.replaceState(history.state, "", `#step-${n}`);
    leave.href = away + anchorOf(newest[0]);
    root.dataset.ready = "";
  };

  /** Brings the newest step into the window. @param {boolean} still without moving there */
  const look = (still) => {
    const newest = blocks[at].newest(shown);
    const low = innerHeight - bar.offsetHeight;
    for (const e of newest) narrow(e);
    fit(newest, low - 2 * breath);
    const top = newest[0].getBoundingClientRect().top - breath;
    const bottom = newest[newest.length - 1].getBoundingClientRect().bottom + breath;
    const from = bottom - top > low || top < 0 ? top : Math.max(0, bottom - low);
    if (Math.abs(from) < 1) return;
    scrollTo({ top: scrollY + from, behavior: still || calm.matches ? "instant" : "smooth" });
  };

  /** @param {number} n from 1 @param {boolean} still */
  const go = (n, still = false) => {
    everything = false;
    let left = Math.min(Math.max(1, n), total());
    for (at = 0; left > blocks[at].size; at++) left -= blocks[at].size;
    shown = left;
    show();
    look(still);
  };
  /** Scrolls on within a step that is taller than the window. @param {1|-1} way */
  const scrolled = (way) => {
    const newest = blocks[at].newest(shown);
    const low = innerHeight - bar.offsetHeight;
    const top = newest[0].getBoundingClientRect().top - breath;
    const bottom = newest[newest.length - 1].getBoundingClientRect().bottom + breath;
    const rest = way > 0 ? bottom - low : -top;
    if (bottom - top <= low || rest < 2) return false;
    scrollBy({ top: way * Math.min(rest, 0.8 * low), behavior: calm.matches ? "instant" : "smooth" });
    return true;
  };
  const forward = () => { if (everything || !scrolled(1)) go(step() + (everything ? 0 : 1)); };
  const backward = () => { if (everything || !scrolled(-1)) go(step() - (everything ? 0 : 1)); };
  const showAll = () => {
    everything = !everything;
    show();
    if (!everything) look(true);
  };

  /** Goes on by a key. Where the eye goes the ear and the Tab key go, too. @param {() => void} move */
  const byKey = (move) => {
    move();
    const first = blocks[at].newest(shown)[0];
    if (bar.contains(document.activeElement)) return;
    if (!first.hasAttribute("tabindex")) first.tabIndex = -1;
    first.focus({ preventScroll: true });
  };

  back.addEventListener("click", backward);
  next.addEventListener("click", forward);
  all.addEventListener("click", showAll);
  const pointer = new Pointer(button(".js-point"));
  const right = key(() => byKey(forward));
  const left = key(() => byKey(backward));
  addKeys({
    " ": right,
    PageDown: right,
    PageUp: left,
    ArrowRight: (dialog, status, event) => pointer.move(event, 1, 0) || right(dialog, status, event),
    ArrowLeft: (dialog, status, event) => pointer.move(event, -1, 0) || left(dialog, status, event),
    ArrowUp: (_dialog, _status, event) => pointer.move(event, 0, -1),
    ArrowDown: (_dialog, _status, event) => pointer.move(event, 0, 1),
    Home: key(() => byKey(() => go(1))),
    End: key(() => byKey(() => go(total()))),
    a: key(showAll),
    p: key(() => pointer.toggle()),
  });
  document.addEventListener("keydown", (event) => {
    const field = event.target;
    if (event.key !== "Escape" || !(field instanceof HTMLInputElement) || !root.contains(field)) return;
    field.blur();
  });

  // A place of the lesson that an address or a link names is shown up to there.
  const reach = (/** @type {string} */ hash) => {
    const n = /^#step-(\d+)$/.exec(hash);
    if (n) return go(Number(n[1]), true);
    const place = hash.length > 1 ? document.getElementById(decodeURIComponent(hash.slice(1))) : null;
    const found = place ? blocks.findIndex((b) => b.body.contains(place) || b.heads.includes(place)) : -1;
    if (!place || found < 0) return show();
    const part = blocks[found].parts().findIndex((p) => p.some((e) => e.contains(place))) + 1 || 1;
    if (found > at || found === at && part > shown) {
      at = found;
      shown = part;
    }
    show();
    if (blocks[at].newest(shown).some((e) => e.contains(place))) look(true);
    else place.scrollIntoView({ block: "nearest" });
  };
  addEventListener("hashchange", () => reach(location.hash));

  // Rows come and go while a cell's text is changed. Who has shown all of a
  // cell sees what is added to it, too.
  const rowsChanged = new MutationObserver((changes) => {
    for (const { target } of changes) {
      const b = blocks.findIndex((block) => block.rows === target);
      if (b !== at) continue;
      const whole = shown >= blocks[b].size;
      const size = blocks[b].parts().length;
      shown = whole ? size : Math.min(shown, size);
    }
    show();
  });
  for (const b of blocks) if (b.rows) rowsChanged.observe(b.rows, { childList: true });

  root.addEventListener("toggle", (event) => {
    const opened = /** @type {Element} */ (event.target);
    if (blocks[at].newest(shown).some((e) => e.contains(opened))) look(false);
  }, true);
  new ResizeObserver(() => {
    document.documentElement.style.setProperty("--bar", `${bar.offsetHeight}px`);
  }).observe(bar);
  addEventListener("resize", () => look(true));
  addEventListener("load", () => look(true));
  document.fonts.ready.then(() => look(true));
  reach(location.hash);
}

/**
 * Makes the figures of a step as large as they can be with all of the step in
 * the window. A drawing whose lettering the back row could not read then is
 * made taller than the window. Of the two forms of a drawing the one is shown
 * whose lettering comes out larger.
 * @param {HTMLElement[]} newest @param {number} high px that a step may have
 */
function fit(newest, high) {
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
    if (event.key.startsWith("Arrow") && target.matches("[tabindex='0']")) return false;
    act();
    return true;
  };
}

/** A ring that follows the mouse or the finger, large enough for the back row. */
class Pointer {
  /** @param {HTMLButtonElement} button */
  constructor(button) {
    this.button = button;
    this.ring = document.createElement("div");
    this.ring.className = "board-pointer";
    this.ring.hidden = true;
    document.body.append(this.ring);
    this.x = innerWidth / 2;
    this.y = innerHeight / 2;
    button.addEventListener("click", () => this.toggle());
    for (const kind of ["pointermove", "pointerdown"]) {
      addEventListener(kind, (event) => {
        this.x = /** @type {PointerEvent} */ (event).clientX;
        this.y = /** @type {PointerEvent} */ (event).clientY;
        this.place();
      }, { passive: true });
    }
  }

  toggle() {
    this.ring.hidden = !this.ring.hidden;
    this.button.setAttribute("aria-pressed", String(!this.ring.hidden));
    this.place();
  }

  /** Moves the ring by a key with Shift. @param {KeyboardEvent} event @param {number} dx @param {number} dy */
  move(event, dx, dy) {
    if (!event.shiftKey || this.ring.hidden) return false;
    this.x = Math.min(innerWidth, Math.max(0, this.x + dx * nudge * innerWidth));
    this.y = Math.min(innerHeight, Math.max(0, this.y + dy * nudge * innerHeight));
    this.place();
    return true;
  }

  place() {
    this.ring.style.transform = `translate(${this.x}px, ${this.y}px)`;
  }
}

attachBoard();
