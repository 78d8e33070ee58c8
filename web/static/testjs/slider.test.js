import assert from "node:assert/strict";
import { beforeEach, test } from "node:test";

import { browser, Element, Input, openBrowser } from "./browser.js";
import { Slider } from "../js/slider.js";

let slider, range, number, moved, said;

/** A slider from 1 to 40; its field as given. @param {Record<string, string>} field */
function make(field = {}) {
  openBrowser();
  browser.document.createElement = () => Object.assign(new Element(), { remove() {} });
  range = new Input({ type: "range", value: "4", min: "1", max: "40", step: "1", disabled: true });
  // A range keeps its value between its ends, as in a browser.
  let value = "4";
  Object.defineProperty(range, "value", { get: () => value, set: (v) => { value = String(Math.min(40, Math.max(1, Number(v)))); } });
  number = new Input({ type: "number", id: "c-1-number", value: "4", min: "1", max: "40", step: "1", disabled: true });
  const { free, ...rest } = field;
  Object.assign(number, rest);
  if (free !== undefined) number.dataset.free = free;
  const root = new Element({ "input[type=range]": range, "input[type=number]": number });
  Object.assign(root.dataset, { name: "n", spokenUnit: "mm" });
  moved = [];
  said = [];
  slider = new Slider(root, (name, to) => moved.push([name, to]), undefined, (sentence) => said.push(sentence));
}
beforeEach(() => make());

const typed = (field, value) => {
  field.value = value;
  field.dispatchEvent(new Event("input"));
};
const words = () => slider.words?.textContent ?? "";
const state = () => [range.value, number.value, range.dataset.at, slider.value];

test("slider and number field agree, and each tells of a move", () => {
  typed(range, "7");
  assert.equal(number.value, "7");
  typed(number, "9");
  assert.equal(range.value, "9");
  assert.deepEqual(moved, [["n", 7], ["n", 9]]);
  assert.equal(range.getAttribute("aria-valuetext"), "9 mm");
  assert.deepEqual([range.disabled, number.disabled], [false, false]);
});

for (const [name, text, want] of [
  ["above", "60", "1 to 40 mm"],
  ["below", "0", "1 to 40 mm"],
  ["nothing", "", "1 to 40 mm"],
  ["no whole number", "2.5", "1 to 40 mm, whole numbers"],
]) {
  test(`what does not hold moves nothing, says what does, and goes when the field is left: ${name}`, () => {
    number.focus();
    typed(number, text);
    assert.deepEqual([moved, words(), number.getAttribute("aria-invalid")], [[], want, "true"]);
    assert.deepEqual(said, text === "" ? [] : [`n: ${want}`]);
    number.dispatchEvent(new Event("change"));
    assert.deepEqual(state(), ["4", "4", "4", 4]);
    assert.deepEqual([words(), number.getAttribute("aria-invalid")], [want, "false"], "why stays to be read");
    typed(number, "5");
    assert.deepEqual([words(), ...state()], ["", "5", "5", "5", 5]);
  });
}

test("Escape puts the value back", () => {
  typed(number, "60");
  number.dispatchEvent(Object.assign(new Event("keydown"), { key: "Escape" }));
  assert.deepEqual([words(), ...state()], ["", "4", "4", "4", 4]);
});

test("steps other than one are named", () => {
  make({ min: "0", step: "0.5" });
  typed(number, "2.25");
  assert.equal(words(), "0 to 40 mm, the slider 1 to 40, in steps of 0.5");
  typed(number, "2.5");
  assert.deepEqual([words(), moved], ["", [["n", 2.5]]]);
});

test("a free field takes what lies between the places", () => {
  make({ free: "" });
  typed(number, "2.25");
  assert.deepEqual([words(), moved, range.dataset.at], ["", [["n", 2.25]], "2.25"]);
});

test("a value may be typed beyond the slider, which rests at its end and says it", () => {
  make({ max: "1000" });
  typed(number, "200");
  assert.deepEqual([state(), moved], [["40", "200", "200", 200], [["n", 200]]]);
  assert.equal(range.getAttribute("aria-valuetext"), "200 mm");
  range.dispatchEvent(new Event("click"));
  assert.deepEqual(state(), ["40", "40", "40", 40], "a press on the end means the end");
  typed(number, "1001");
  assert.deepEqual([words(), slider.value], ["1 to 1000 mm, the slider to 40", 40]);
});

test("a value of the server does not move what is being typed, and leaves words at it", () => {
  number.focus();
  typed(number, "60");
  slider.set("12");
  assert.deepEqual([range.value, number.value, words()], ["12", "60", "1 to 40 mm"]);
  number.dispatchEvent(new Event("change"));
  browser.document.activeElement = null;
  slider.set("13");
  assert.deepEqual([state(), words()], [["13", "13", "13", 13], ""]);
  assert.deepEqual(moved, [], "and is no move of the reader's");
});

test("a value of the server is in the field also while it has the focus", () => {
  number.focus();
  slider.set("12");
  assert.deepEqual(state(), ["12", "12", "12", 12]);
});

for (const [name, field, beginnings, refused] of [
  ["too much", { max: "200" }, ["5", "50"], "500"],
  ["no whole number", {}, ["3"], "3.5"],
  ["nothing more", {}, ["7"], ""],
]) {
  test(`what is refused leaves the value from before it was typed: ${name}`, () => {
    make(field);
    number.focus();
    number.dispatchEvent(new Event("focus"));
    for (const text of beginnings) typed(number, text);
    assert.equal(slider.value, Number(beginnings.at(-1)));
    typed(number, refused);
    assert.deepEqual([number.value, slider.value, range.value, moved.at(-1)], [refused, 4, "4", ["n", 4]]);
    number.dispatchEvent(new Event("change"));
    assert.deepEqual(state(), ["4", "4", "4", 4]);
  });
}
