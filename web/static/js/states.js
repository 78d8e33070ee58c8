// @ts-check
// The gallery of states, for developers: copies of the parts of a lesson, each in one
// state and named. What a pointer or the focus brings about is in the style sheets; each
// rule about them holds for a class of that name too.

const forced = /** @type {[RegExp, string][]} */ ([
  [/:hover/g, ".is-hover"], [/:focus-within/g, ".is-within"], [/:focus-visible|:focus(?!-)/g, ".is-focus"], [/:active/g, ".is-active"],
]);

/** Adds to each rule about a forced state one about its class. @param {CSSStyleSheet|CSSGroupingRule} list */
function forceStates(list) {
  for (let i = list.cssRules.length - 1; i >= 0; i--) {
    const rule = list.cssRules[i];
    if (rule instanceof CSSStyleRule) {
      const selector = forced.reduce((s, [pattern, name]) => s.replace(pattern, name), rule.selectorText);
      if (selector !== rule.selectorText) list.insertRule(rule.cssText.replace(rule.selectorText, selector), i + 1);
    } else if (rule instanceof CSSGroupingRule) {
      forceStates(rule);
    }
  }
}

/** @param {string} selector @param {ParentNode} [within] @returns {HTMLElement} */
function find(selector, within = document) {
  const found = within.querySelector(selector);
  if (!(found instanceof HTMLElement)) throw new Error(`there is no ${selector}`);
  return found;
}

/** Takes the names from a copy, so that each is on the page once. @param {Element} part */
function withoutNames(part) {
  for (const e of [part, ...part.querySelectorAll("[id], [for]")]) for (const name of ["id", "for", "aria-describedby", "aria-labelledby"]) e.removeAttribute(name);
  for (const heading of part.querySelectorAll("h1, h2, h3")) heading.setAttribute("aria-level", "4"); // below that of the state
  // Fields keep a name for the ear, and buttons of a choice do not share one with other copies.
  for (const field of part.querySelectorAll("input:not([aria-label])")) if (!field.closest("label")) field.setAttribute("aria-label", "answer");
  for (const radio of part.querySelectorAll("input[type=radio]")) radio.setAttribute("name", `copy-${++copies}`);
}

let copies = 0;

const calculation = () => find("#calc-1");
const derivation = () => find(".js-derivation");
const cellOf = (/** @type {string} */ selector) => /** @type {HTMLElement} */ (find(selector).closest(".cell"));
const trials = () => cellOf("[data-kind=trials]");
const segments = () => cellOf(".js-segments");

/** @type {[name: string, of: () => HTMLElement, put: (copy: HTMLElement) => void][]} */
const shown = [
  ["cell: at rest", calculation, () => {}],
  ["cell: hover", calculation, (c) => c.classList.add("is-hover")],
  ["cell: focus on an action", calculation, (c) => { c.classList.add("is-within"); find(".js-take > summary", c).classList.add("is-focus"); }],
  ["cell: changed", calculation, (c) => { c.dataset.changed = ""; find(".js-restore", c).hidden = false; }],
  ["cell: waiting for the server", calculation, (c) => { const bar = document.createElement("div"); bar.className = "progress on"; c.append(bar); }],
  ["cell: editing", calculation, (c) => { /** @type {HTMLDetailsElement} */ (find(".js-text", c)).open = true; find(".js-editor", c).classList.add("is-within"); }],
  ["result: with its numbers", calculation, (c) => { for (const d of c.querySelectorAll("details.steps")) /** @type {HTMLDetailsElement} */ (d).open = true; }],
  ["slider: hover", calculation, (c) => find(".scale", c).classList.add("is-hover")],
  ["slider: focus", calculation, (c) => find(".scale input", c).classList.add("is-focus")],
  ["slider: pressed", calculation, (c) => find(".scale", c).classList.add("is-active")],
  ["slider: no connection yet", calculation, (c) => { for (const e of c.querySelectorAll("input")) e.disabled = true; }],
  ["trials: with a line through them", trials, () => {}],
  ["trials: a guess at the next", trials, (c) => { const field = find(".js-guess-trial input", c); field.setAttribute("value", "1.02"); field.classList.add("is-focus"); }],
  ["segments: none lit", segments, (c) => { for (const e of c.querySelectorAll(".lit")) if (e.matches("tr")) e.classList.remove("lit"); else e.remove(); }],
  ["segments: one lit, in the table and in the drawing", segments, () => {}],
  ["margin: a slider with what it moves, and its trials", () => find(".js-hand:has(.hand-trials)"), () => {}],
  ...(matchMedia("(max-width: 74.99rem)").matches ? /** @type {[string, () => HTMLElement, () => void][]} */ ([["foot of a narrow window: a docked slider", docked, () => {}]]) : []),
  ["guess: asked", () => find("#guess-how-many"), () => {}],
  ["guess: a choice asked", () => find("#guess-which-end"), () => {}],
  ["guess: a choice picked", () => find("#guess-which-end"), (c) => { find("input[type=radio]", c).setAttribute("checked", ""); }],
  ["guess: an order asked", () => find("#guess-most-first"), () => {}],
  ["guess: one of an order dragged", () => find("#guess-most-first"), (c) => find(".order li", c).classList.add("dragged")],
  ["cell: an error, and a statement that waits for it", () => cellOf("[data-name=c]"), () => {}],
  ["cell: empty", () => cellOf(".cell .rows:empty"), () => {}],
  ["derivation: judged", derivation, () => {}],
  ["derivation: stale", derivation, (c) => { c.dataset.unjudged = ""; find(".js-unjudged", c).hidden = false; }],
  ["line: offline", () => find(".js-offline"), (c) => { c.hidden = false; }],
  ["line: signed out", () => find(".js-offline"), (c) => { c.hidden = false; c.textContent = "You are signed out. Sign in in a new tab, then come back here; your changes are still on this page."; }],
  ["line: calculating for long", () => find(".js-busy"), (c) => { c.hidden = false; }],
  ["button: at rest", button, () => {}],
  ["button: hover", button, (c) => find("button", c).classList.add("is-hover")],
  ["button: focus", button, (c) => find("button", c).classList.add("is-focus")],
  ["button: cannot be pressed", button, (c) => find("button", c).setAttribute("aria-disabled", "true")],
  ["link: hover", link, (c) => find("a", c).classList.add("is-hover")],
  ["link: focus", link, (c) => find("a", c).classList.add("is-focus")],
];

/** The slider at the foot of a narrow window, as hand.js makes it where it stands still. */
function docked() {
  const bar = document.createElement("div");
  bar.className = "hand-bar";
  bar.style.position = "static";
  const box = document.createElement("div");
  box.className = "docked";
  const output = document.createElement("output");
  output.textContent = "4";
  const line = document.createElement("p");
  line.textContent = `Trials ${find(".hand-trials").dataset.line}`;
  box.append(find(".hand-name span").cloneNode(true), find(".js-hand .scale").cloneNode(true), output, find(".js-hand dl").cloneNode(true), line);
  bar.append(box);
  return bar;
}

function button() {
  const p = document.createElement("p");
  const one = document.createElement("button");
  one.type = "button";
  one.textContent = "Evaluate";
  p.append(one);
  return p;
}

function link() {
  const p = document.createElement("p");
  const a = document.createElement("a");
  a.href = "/";
  a.textContent = "All lessons";
  p.append(a);
  return p;
}

// The parts are as they are once they can be used.
const alive = setInterval(() => {
  if (!document.querySelector(".scale") || document.querySelector(".js-slider input:disabled") || !document.querySelector(".hand-trials") || !document.querySelector(".js-hand .scale")) return;
  const second = document.querySelector(".js-segments tbody tr:nth-child(2)");
  second?.dispatchEvent(new PointerEvent("pointerover", { bubbles: true }));
  if (!second?.matches(".lit")) return;
  clearInterval(alive);
  for (const sheet of document.styleSheets) forceStates(sheet);
  const section = document.createElement("section");
  section.className = "states";
  const head = document.createElement("h2");
  head.textContent = "The states";
  section.append(head);
  const parts = /** @type {HTMLTemplateElement} */ (find("template.js-parts")).content;
  /** @type {typeof shown} */
  const made = [...parts.children].map((part) => [part.getAttribute("data-state") ?? "", () => /** @type {HTMLElement} */ (part.firstElementChild), () => {}]);
  for (const [name, of, put] of [...shown, ...made]) {
    const title = document.createElement("h3");
    title.textContent = name;
    const copy = /** @type {HTMLElement} */ (of().cloneNode(true));
    withoutNames(copy);
    put(copy);
    if (copy.hasAttribute("aria-label")) copy.setAttribute("aria-label", name);
    const box = document.createElement("div"); // with room for what stands above a cell
    box.style.paddingTop = "2rem";
    if (copy.matches(".offline, .busy")) copy.style.position = "static";
    box.append(copy);
    section.append(title, box);
  }
  find("main").append(section);
  document.documentElement.dataset.states = String(shown.length + made.length);
}, 50);
