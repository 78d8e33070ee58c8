import assert from "node:assert/strict";
import { beforeEach, test } from "node:test";

import { browser, Element, Input, openBrowser } from "./browser.js";
import { Slider } from "../js/slider.js";

let slider, range, number, moved;
beforeEach(() => {
  openBrowser();
  range = new Input({ type: "range", value: "4", disabled: true });
  number = new Input({ type: "number", value: "4", disabled: true });
  const root = new Element({ "input[type=range]": range, "input[type=number]": number });
  Object.assign(root.dataset, { name: "n", spokenUnit: "millimetres" });
  moved = [];
  slider = new Slider(root, (name, value) => moved.push([name, value]));
});
const typed = (field, value, valid = true) => {
  field.value = value;
  field.validity.valid = valid;
  field.dispatchEvent(new Event("input"));
};

test("slider and number field agree, and each tells of a move", () => {
  typed(range, "7");
  assert.equal(number.value, "7");
  typed(number, "9");
  assert.equal(range.value, "9");
  assert.deepEqual(moved, [["n", 7], ["n", 9]]);
  assert.equal(range.getAttribute("aria-valuetext"), "9 millimetres");
  assert.deepEqual([range.disabled, number.disabled], [false, false]);
});

test("an empty or impossible number moves nothing and goes back when left", () => {
  typed(number, "");
  typed(number, "1e9", false);
  assert.deepEqual([moved, range.value], [[], "4"]);
  number.dispatchEvent(new Event("change"));
  assert.equal(number.value, "4");
});

test("a value of the server does not move the number that is being typed", () => {
  number.focus();
  number.value = "1";
  slider.set("12");
  assert.deepEqual([range.value, number.value], ["12", "1"]);
  browser.document.activeElement = null;
  slider.set("13");
  assert.deepEqual([range.value, number.value], ["13", "13"]);
  assert.deepEqual(moved, [], "and is no move of the reader's");
});
