import assert from "node:assert/strict";
import { beforeEach, test } from "node:test";

import { Element, openBrowser } from "./browser.js";
import { attachSegments } from "../js/segments.js";

/** @type {any} */
let root, rows, cuts, svg, table;

// A table of three segments and a drawing of them: each is 10 wide, from 0, between 2 and
// 8 high about the axis at 5. A second drawing has another number of segments.
beforeEach(() => {
  openBrowser();
  globalThis.CSS = /** @type {any} */ ({ escape: (/** @type {string} */ s) => s });
  globalThis.Element = /** @type {any} */ (Element);
  globalThis.DOMPoint = /** @type {any} */ (class {
    constructor(x, y) { Object.assign(this, { x, y }); }
    matrixTransform() { return this; }
  });
  globalThis.document.createElementNS = () => new Element();
  table = new Element();
  table.dataset.shaft = "S";
  table.getBoundingClientRect = () => ({ top: 0, bottom: 100, height: 100 });
  rows = [0, 1, 2].map((i) => {
    const row = /** @type {any} */ (new Element());
    row.classList = { lit: false, toggle: (_, on) => { row.classList.lit = on; } };
    row.closest = (selector) => (selector.includes("tr") ? row : table);
    row.getBoundingClientRect = () => ({ top: 20 * i, bottom: 20 * i + 20, height: 20 });
    row.scrollIntoView = () => { row.scrolled = true; };
    return row;
  });
  table.found["tbody tr"] = rows;
  cuts = drawing("0 10 2;10 20 2;20 30 2");
  const others = drawing("0 15 2;15 30 2");
  const holder = new Element();
  holder.setAttribute("data-shaft", "S");
  svg = /** @type {any} */ (new Element({ ".fig-cuts": cuts }));
  svg.closest = (selector) => (selector === "svg" ? svg : selector === "[data-shaft]" ? holder : null);
  svg.getScreenCTM = () => ({ inverse: () => ({}) });
  root = new Element({ '.js-segments[data-shaft="S"]': [table], '[data-kind=draw][data-shaft="S"] .fig-cuts': [cuts, others] });
  root.others = others;
  attachSegments(root);
});

function drawing(list) {
  const e = /** @type {any} */ (new Element());
  e.setAttribute("data-cuts", list);
  e.setAttribute("data-axis", "5");
  e.replaceChildren = () => { e.children = []; };
  return e;
}

/** @param {string} type @param {any} target @param {object} more */
function happen(type, target, more = {}) {
  const event = Object.assign(new Event(type, { cancelable: true }), more);
  Object.defineProperty(event, "target", { value: target });
  root.dispatchEvent(event);
  return event;
}

const lit = () => rows.map((row) => row.classList.lit);

test("the row that is pointed at, or has the focus, lights its segment in the drawings that have as many", () => {
  happen("pointerover", rows[1]);
  assert.deepEqual(lit(), [false, true, false]);
  assert.deepEqual([cuts.children.length, cuts.children[0].getAttribute("x"), cuts.children[0].getAttribute("width"), cuts.children[0].getAttribute("height")], [1, "10", "10", "6"]);
  assert.equal(root.others.children.length, 0);
  happen("focusin", rows[2]);
  assert.deepEqual(lit(), [false, false, true]);
  assert.deepEqual(rows.map((row) => row.tabIndex), [-1, -1, 0], "one row is reached with the Tab key");
});

test("the segment that is pointed at marks its row; a tap brings the row into view", () => {
  happen("pointermove", svg, { clientX: 25, clientY: 5 });
  assert.deepEqual(lit(), [false, false, true]);
  assert.equal(rows[2].scrolled, undefined);
  happen("click", svg, { clientX: 5, clientY: 5 });
  assert.deepEqual(lit(), [true, false, false]);
  assert.equal(rows[0].scrolled, true);
});

for (const [name, at] of [["beside the shaft", { clientX: 35, clientY: 5 }], ["far above it", { clientX: 5, clientY: -40 }]]) {
  test(`a pointer ${name} marks nothing`, () => {
    happen("pointermove", svg, at);
    assert.deepEqual(lit(), [false, false, false]);
  });
}

test("the arrow keys, Home and End go from row to row, and no further", () => {
  const press = (row, key, more = {}) => happen("keydown", row, { key, ...more });
  assert.equal(press(rows[0], "ArrowDown").defaultPrevented, true);
  assert.deepEqual(lit(), [false, true, false]);
  press(rows[1], "End");
  assert.deepEqual(lit(), [false, false, true]);
  press(rows[2], "ArrowDown");
  assert.deepEqual(lit(), [false, false, true]);
  press(rows[2], "Home");
  assert.deepEqual(lit(), [true, false, false]);
  assert.equal(press(rows[0], "ArrowDown", { ctrlKey: true }).defaultPrevented, false);
  assert.equal(press(rows[0], "x").defaultPrevented, false);
  assert.deepEqual(lit(), [true, false, false]);
});
