import assert from "node:assert/strict";
import { beforeEach, test } from "node:test";

import { browser, Element, Input, openBrowser } from "./browser.js";
import { Trials } from "../js/trials.js";

const start = "trials of y for n";

/** @type {any} */
let root, range, row, cell, trials, said;

// One slider and one statement of trials. The row is what the server makes of the text
// and the slider; answer() has it come.
beforeEach(() => {
  openBrowser();
  globalThis.CSS = /** @type {any} */ ({ escape: (/** @type {string} */ s) => s });
  globalThis.HTMLFormElement = /** @type {any} */ (class extends Element {});
  range = new Input({ type: "range", value: "4" });
  range.dataset.at = "4";
  const box = new Element();
  box.dataset.name = "n";
  range.closest = (/** @type {string} */ s) => (s.includes(".js-slider") ? box : null);
  cell = { original: start, text: start, textOf: new WeakMap(), edits: [], rewrite(/** @type {string} */ text) {
    cell.text = text;
    cell.edits.push(text);
  } };
  row = new Element();
  row.id = "calc-1-3";
  row.closest = () => Object.assign(new Element(), { getAttribute: () => "calc-1" });
  root = new Element({
    '.js-slider[data-name="n"] input[type=range]': range,
    ".row[data-kind=trials]": row,
    '.row[data-kind=trials][data-slider="n"]': row,
  });
  said = [];
  Object.assign(row.dataset, { kind: "trials", slider: "n" });
  shows(4);
  trials = new Trials(root, () => cell, (sentence) => said.push(sentence));
});

/** The row as the server has it for a value of the slider. @param {number} at */
function shows(at) {
  const tried = (/ at (.*)$/.exec(cell.text)?.[1] ?? "").split(", ").filter(Boolean);
  Object.assign(row.dataset, { at: String(at), tried: tried.join(" "), add: String(cell.text.length), before: tried.length ? ", " : " at ", behind: "" });
  cell.textOf.set(row, cell.text);
}

/** @param {number} at */
function answer(at) {
  shows(at);
  trials.came(row);
}

/** @param {number} value */
function moveTo(value) {
  range.dataset.at = String(value);
  range.value = String(value);
}

/** @param {number} value */
function letGoAt(value) {
  moveTo(value);
  root.dispatchEvent(from("change"));
}

/** An event that has come up to the root. @param {string} type @param {object} more */
function from(type, more = {}) {
  const event = Object.assign(new Event(type), more);
  Object.defineProperty(event, "target", { value: range });
  return event;
}

test("a stop is written into the text when its row has come", () => {
  letGoAt(8);
  assert.deepEqual(cell.edits, []);
  answer(8);
  assert.equal(cell.text, start + " at 8");
  answer(8);
  assert.equal(cell.edits.length, 1, "once");
});

test("a stop whose row is there already is written at once", () => {
  letGoAt(4);
  assert.equal(cell.text, start + " at 4");
});

test("a value that was tried is not written again", () => {
  letGoAt(4);
  answer(4);
  letGoAt(4);
  assert.equal(cell.edits.length, 1);
});

test("a stop that the next move overtakes is kept, and so are several", () => {
  letGoAt(8);
  moveTo(9);
  answer(9); // the row of 8 never comes
  assert.equal(cell.text, start + " at 8");
  answer(9);
  letGoAt(16);
  letGoAt(32);
  letGoAt(12);
  answer(9);
  assert.equal(cell.text, start + " at 8, 16, 32");
  answer(12);
  assert.equal(cell.text, start + " at 8, 16, 32, 12");
});

test("a stop waits while the text has moved on since the row came", () => {
  cell.text = start + " # mine";
  letGoAt(4);
  assert.deepEqual(cell.edits, []);
  cell.text = start;
  answer(4);
  assert.equal(cell.text, start + " at 4");
});

test("what was typed and refused is no stop", () => {
  range.type = "number";
  const words = {};
  range.parentElement = { querySelector: () => words };
  letGoAt(4);
  assert.deepEqual(cell.edits, []);
  range.parentElement = { querySelector: () => null };
  letGoAt(4);
  assert.equal(cell.text, start + " at 4");
});

test("what the line fails at is not written", () => {
  letGoAt(8);
  delete row.dataset.add;
  trials.came(row);
  moveTo(9);
  answer(9);
  assert.deepEqual(cell.edits, []);
});

test("with keys only Enter and leaving are stops", () => {
  root.dispatchEvent(from("keydown", { key: "ArrowRight" }));
  letGoAt(5);
  answer(5);
  assert.deepEqual(cell.edits, []);
  root.dispatchEvent(from("keydown", { key: "Enter" }));
  assert.equal(cell.text, start + " at 5");
  answer(5);
  root.dispatchEvent(from("keydown", { key: "PageUp" }));
  letGoAt(9);
  answer(9);
  root.dispatchEvent(from("focusout"));
  assert.equal(cell.text, start + " at 5, 9");
});

test("a statement with as many as it can takes no more", () => {
  row.dataset.add = "";
  letGoAt(4);
  assert.deepEqual(cell.edits, []);
});

test("a page that goes keeps what still waits", () => {
  letGoAt(8);
  browser.page.dispatchEvent(new Event("pagehide"));
  assert.equal(cell.text, start + " at 8");
});
