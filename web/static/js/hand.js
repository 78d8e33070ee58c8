// @ts-check
// The sliders of a lesson where they are in use: in the margin beside each section that
// they move, and on a narrow window docked at its foot while a result that they move is
// in view and their own place is not. Each follows the slider of the statement, which
// alone talks to the server. F8 leads to the one in view and back.

import { addKeys } from "./keys.js";
import { Track } from "./track.js";

const most = () => innerHeight < 640 ? 2 : 3; // sliders at the foot of a window: that leave most of it free
const foot = 90; // px that docked sliders may take: what is in view only behind them needs none
const margin = matchMedia("(min-width: 75rem)"); // as in margin.css

/** @param {HTMLElement} root the lesson @returns {() => void} to be called when rows have changed */
export function attachHands(root) {
  const hands = [...root.querySelectorAll(".js-hand")].map((box) => new Hand(/** @type {HTMLElement} */ (box), root));
  const dock = new Dock(root, hands);
  let asked = false;
  const later = () => {
    if (asked) return;
    asked = true;
    requestAnimationFrame(() => {
      asked = false;
      dock.update();
    });
  };
  root.addEventListener("input", (event) => {
    const slider = event.target instanceof Element && event.target.closest(".js-slider");
    if (!(slider instanceof HTMLElement)) return;
    const name = slider.dataset.name ?? "";
    for (const hand of hands) if (hand.follower.name === name) hand.follow();
    dock.use(name);
    later();
  });
  for (const name of ["scroll", "resize", "focusin", "focusout", "toggle"]) addEventListener(name, later, { passive: true, capture: true });
  new Trip(root, hands, dock);
  later();
  return () => {
    for (const hand of hands) hand.follow();
    later();
  };
}

/** @param {HTMLElement} root @param {string} name @returns {HTMLInputElement|null} */
function rangeOf(root, name) {
  return root.querySelector(`.js-slider[data-name="${CSS.escape(name)}"] input[type=range]`);
}

/**
 * How much of an element stands in the window, in pixels of its height.
 * @param {Element|null|undefined} e @param {number} below what does not count of the window
 */
function inView(e, below = 0) {
  if (!e?.checkVisibility({ visibilityProperty: true }) || e.hasAttribute("data-cover")) return 0; // covered by a guess
  const { top, bottom, width } = e.getBoundingClientRect();
  return width === 0 ? 0 : Math.min(bottom, innerHeight - below) - Math.max(top, 0);
}

/** Whether a slider is in view as a whole. @param {Element|null|undefined} e */
function isWhole(e) {
  return Boolean(e) && inView(e) > /** @type {Element} */ (e).getBoundingClientRect().height - 8;
}

/** Makes one range follow another and move it. */
class Follower {
  /** @param {HTMLElement} root @param {string} name */
  constructor(root, name) {
    this.root = root;
    this.name = name;
    /** @type {Track|null} */
    this.track = null;
    const range = this.range = document.createElement("input");
    range.type = "range";
    range.autocomplete = "off";
    const move = () => {
      const own = rangeOf(root, name);
      if (!own) return;
      own.value = range.value;
      own.dispatchEvent(new Event("input", { bubbles: true }));
    };
    range.addEventListener("input", move);
    range.addEventListener("click", () => {
      const at = Number(range.dataset.at);
      if (at < Number(range.min) || at > Number(range.max)) move(); // see slider.js
    });
  }

  /** @returns {boolean} whether there is a slider of this name */
  follow() {
    const own = rangeOf(this.root, this.name);
    if (!own) return false;
    const { range } = this;
    for (const key of /** @type {const} */ (["min", "max", "step"])) if (range[key] !== own[key]) range[key] = own[key];
    if (range.value !== own.value) range.value = own.value;
    range.dataset.scale = own.dataset.scale ?? "";
    range.dataset.at = own.dataset.at ?? own.value;
    for (const key of ["aria-label", "aria-valuetext"]) range.setAttribute(key, own.getAttribute(key) ?? "");
    this.track ??= new Track(range);
    this.track.draw();
    return true;
  }
}

/** A slider in the margin. */
class Hand {
  /** @param {HTMLElement} box with data-name and data-moves @param {HTMLElement} root */
  constructor(box, root) {
    this.box = box;
    this.moves = (box.dataset.moves ?? "").split(" ").filter(Boolean);
    this.follower = new Follower(root, box.dataset.name ?? "");
    box.querySelector(".hand-name")?.after(this.follower.range);
    this.follow();
  }

  follow() {
    this.box.hidden = !this.follower.follow();
  }
}

/** A slider at the foot of the window. */
class Docked {
  /** @param {HTMLElement} root @param {string} name */
  constructor(root, name) {
    this.follower = new Follower(root, name);
    this.box = document.createElement("div");
    this.box.className = "docked";
    this.box.setAttribute("role", "group");
    this.box.setAttribute("aria-label", `Slider ${name}`);
    this.output = document.createElement("output");
    this.output.setAttribute("aria-live", "off");
    this.html = "";
    const label = document.createElement("span");
    const formula = rangeOf(root, name)?.closest(".row")?.querySelector(".formula");
    label.append(...(formula ? formula.cloneNode(true).childNodes : [name]));
    this.results = document.createElement("dl");
    this.trials = document.createElement("p");
    this.box.append(label, this.follower.range, this.output, this.results, this.trials);
  }

  /** Shows the results that a slider of the margin has under it. @param {Hand|undefined} hand */
  showResults(hand) {
    const list = hand?.box.querySelector("dl");
    const html = list?.innerHTML ?? "";
    const line = hand?.box.querySelector(".hand-trials")?.getAttribute("data-line");
    this.trials.textContent = line ? `Trials ${line}` : "";
    if (this.html === html) return;
    this.html = html;
    this.results.replaceChildren(...(list?.cloneNode(true).childNodes ?? []));
  }

  follow() {
    if (!this.follower.follow()) return false;
    const said = this.follower.range.getAttribute("aria-valuetext") ?? "";
    if (this.output.textContent !== said) this.output.textContent = said;
    return true;
  }
}

class Dock {
  /** @param {HTMLElement} root @param {Hand[]} hands */
  constructor(root, hands) {
    this.root = root;
    this.hands = hands;
    /** @type {string[]} the last used first, then as in the lesson */
    this.names = [...new Set(hands.map((hand) => hand.follower.name))];
    /** @type {Map<string, Docked>} */
    this.made = new Map();
    /** @type {string[]} */
    this.shown = [];
    this.height = "";
    this.bar = document.createElement("div");
    this.bar.className = "hand-bar";
    this.bar.hidden = true;
    root.append(this.bar);
  }

  /** @param {string} name of the slider that is moved */
  use(name) {
    if (this.names[0] === name) return;
    this.names = [name, ...this.names.filter((other) => other !== name)];
    // In the margin too the last used comes first, unless it is the one in hand.
    for (const { box, follower } of this.hands) {
      if (follower.name === name && !box.contains(document.activeElement)) box.parentElement?.prepend(box);
    }
  }

  /**
   * Where a slider is needed: it moves something in view, and cannot be seen itself.
   * @param {string} name
   */
  need(name) {
    const own = rangeOf(this.root, name);
    if (!own || isWhole(own)) return undefined;
    const hands = this.hands.filter((hand) => hand.follower.name === name);
    if (hands.some((hand) => isWhole(hand.follower.range))) return undefined;
    return hands.find((hand) => hand.moves.some((id) => inView(document.getElementById(id), foot) > 24));
  }

  update() {
    const at = document.activeElement;
    const held = this.bar.matches(":active");
    let names = margin.matches || at?.matches("textarea") ? [] : this.names.filter((name) => this.need(name)).slice(0, most());
    if (held) names = [...new Set([...this.shown, ...names])].slice(0, most()); // nothing goes from under the thumb
    if (held || this.bar.contains(at)) names.sort((a, b) => order(this.shown, a) - order(this.shown, b));
    const leaving = this.shown.find((name) => !names.includes(name) && this.made.get(name)?.box.contains(at));
    if (leaving !== undefined) rangeOf(this.root, leaving)?.focus({ preventScroll: true });
    if (names.join(" ") !== this.shown.join(" ")) this.put(names);
    for (const name of names) {
      const docked = this.made.get(name);
      docked?.follow();
      docked?.showResults(names.length > 1 ? undefined : this.need(name)); // of two there is no room for more
    }
    this.measure();
    this.uncover();
  }

  /** @param {string[]} names */
  put(names) {
    this.shown = names;
    const boxes = names.map((name) => {
      const docked = this.made.get(name) ?? new Docked(this.root, name);
      this.made.set(name, docked);
      docked.follow();
      return docked.box;
    });
    boxes.forEach((box, i) => { if (this.bar.children[i] !== box) this.bar.insertBefore(box, this.bar.children[i] ?? null); });
    while (this.bar.children.length > boxes.length) this.bar.lastElementChild?.remove();
    this.bar.hidden = boxes.length === 0;
  }

  measure() {
    const height = `${this.bar.offsetHeight}px`;
    if (height === this.height) return;
    this.height = height;
    document.documentElement.style.setProperty("--dock", height);
  }

  /** What has the focus does not stay behind the bar. */
  uncover() {
    const at = document.activeElement;
    if (this.bar.hidden || !at || at === document.body || this.bar.contains(at)) return;
    const { top, bottom } = at.getBoundingClientRect();
    const covered = bottom + 8 - (innerHeight - this.bar.offsetHeight);
    if (covered > 0 && top < innerHeight && top > covered) scrollBy(0, covered);
  }
}

/** @param {string[]} list @param {string} name */
function order(list, name) {
  const i = list.indexOf(name);
  return i < 0 ? list.length : i;
}

/** The way to the slider in view and back to where the reader was. */
class Trip {
  /** @param {HTMLElement} root @param {Hand[]} hands @param {Dock} dock */
  constructor(root, hands, dock) {
    this.root = root;
    this.hands = hands;
    this.dock = dock;
    /** @type {HTMLElement|null} */
    this.from = null;
    /** @type {HTMLElement|null} */
    this.to = null;
    addKeys({ F8: () => this.go() });
  }

  go() {
    const at = document.activeElement instanceof HTMLElement ? document.activeElement : null;
    if (at && at === this.to) {
      at.blur();
      if (this.from?.isConnected) this.from.focus({ preventScroll: inView(this.from) > 0 });
      this.to = null;
      return true;
    }
    const to = this.nearest();
    if (!to) return false;
    this.from = at === document.body ? null : at;
    this.to = to;
    to.focus({ preventScroll: inView(to) > 0 });
    return true;
  }

  /** The slider that moves what is in view: docked, in the margin, its own place, or the first. */
  nearest() {
    const { names, made, shown } = this.dock;
    if (shown.length > 0) return made.get(shown[0])?.follower.range ?? null;
    const seen = [...names].sort((a, b) => Number(this.moves(b)) - Number(this.moves(a)));
    for (const name of seen) {
      const hand = this.hands.find(({ follower }) => follower.name === name && isWhole(follower.range));
      if (hand) return hand.follower.range;
      const own = rangeOf(this.root, name);
      if (isWhole(own)) return own;
    }
    return rangeOf(this.root, seen[0] ?? "") ?? this.root.querySelector(".js-slider input[type=range]");
  }

  /** Whether a slider moves something in view. @param {string} name */
  moves(name) {
    return this.hands.some(({ follower, moves }) => follower.name === name && moves.some((id) => inView(document.getElementById(id)) > 0));
  }
}
