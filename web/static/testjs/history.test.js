import assert from "node:assert/strict";
import { beforeEach, test } from "node:test";

import { browser, Element, openBrowser } from "./browser.js";
import { History } from "../js/history.js";

let history, put, bar;
beforeEach(() => {
  openBrowser();
  [put, bar] = [[], new Element()];
  history = new History(bar, "v0", (text) => put.push(text));
});

test("a version is made when typing rests", async () => {
  for (const text of ["a", "ab", "abc"]) {
    history.note(text);
    await browser.clock.pass(1000);
  }
  assert.deepEqual(history.versions, ["v0"]);
  await browser.clock.pass(1500);
  assert.deepEqual(history.versions, ["v0", "abc"]);
});

test("going back loses nothing: what was being typed becomes a version", () => {
  history.note("typed");
  history.earlier.click();
  assert.deepEqual([history.versions, put], [["v0", "typed"], ["v0"]]);
  history.later.click();
  assert.deepEqual(put, ["v0", "typed"]);
});

test("there is nothing before the first or after the last", () => {
  history.earlier.click();
  history.later.click();
  assert.deepEqual(put, []);
  assert.equal(bar.hidden, true);
});

test("of many versions the lesson's text and the newest stay", () => {
  for (let i = 1; i <= 100; i++) history.keep(`v${i}`);
  assert.equal(history.versions.length, 60);
  assert.deepEqual([history.versions[0], history.versions.at(-1)], ["v0", "v100"]);
});

test("the same text again is no version", () => {
  history.keep("v0");
  history.keep("a");
  history.keep("a");
  assert.deepEqual(history.versions, ["v0", "a"]);
});
