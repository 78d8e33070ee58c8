import assert from "node:assert/strict";
import { beforeEach, test } from "node:test";

import { browser, happen, openBrowser } from "./browser.js";
import { Drafts } from "../js/draft.js";
import { State } from "../js/state.js";

beforeEach(openBrowser);

test("what is changed is there again after the page was closed", () => {
  const state = new State("taper");
  state.edit("calc-1", "d = 40 mm", "d = 36 mm");
  state.vary("n", 0);
  happen("pagehide");
  assert.deepEqual(new State("taper").plain(), { edits: { "calc-1": "d = 40 mm" }, varied: { n: 0 } });
  assert.equal(new State("other").changed, false);
});

test("the lesson's own text is no change", async () => {
  const state = new State("taper");
  state.edit("calc-1", "x", "d");
  state.edit("calc-1", "d", "d");
  await browser.clock.pass(1000);
  assert.equal(state.changed, false);
  assert.equal(browser.storage.map.size, 0);
});

test("every change is noticed, restoring too", () => {
  const state = new State("taper");
  let seen = 0;
  state.noticed = () => seen++;
  state.edit("calc-1", "x", "d");
  state.vary("n", 2);
  state.clear();
  assert.deepEqual([seen, state.changed], [3, false]);
});

test("a window stores only what it changed itself", async () => {
  const [idle, busy] = [new State("taper"), new State("taper")];
  idle.vary("m", 3);
  await browser.clock.pass(1000);
  busy.edit("calc-1", "T = 400 N·m", "T = 420 N·m");
  busy.vary("n", 12);
  await browser.clock.pass(1000);
  happen("pagehide"); // of the idle one too
  assert.deepEqual(new State("taper").plain(), { edits: { "calc-1": "T = 400 N·m" }, varied: { m: 3, n: 12 } });
  busy.edit("calc-1", "T = 420 N·m", "T = 420 N·m");
  busy.release("n");
  happen("pagehide");
  assert.deepEqual(new State("taper").plain(), { edits: {}, varied: { m: 3 } });
});

test("restoring the whole lesson takes away what other windows stored", () => {
  const [one, other] = [new State("taper"), new State("taper")];
  other.vary("n", 12);
  happen("pagehide");
  one.clear();
  assert.equal(new State("taper").changed, false);
});

test("what could not be stored is stored with the next change", () => {
  const state = new State("taper");
  browser.storage.full = true;
  state.vary("n", 2);
  happen("pagehide");
  browser.storage.full = false;
  state.vary("m", 3);
  happen("pagehide");
  assert.deepEqual(new State("taper").plain().varied, { n: 2, m: 3 });
});

test("a board keeps nothing", () => {
  const state = new State("taper", false);
  state.vary("n", 2);
  happen("pagehide");
  assert.equal(browser.storage.map.size, 0);
});

test("storage that is full or holds something else does no harm", () => {
  browser.storage.setItem("shaftbook:working:taper", "{nonsense");
  const state = new State("taper");
  browser.storage.full = true;
  state.vary("n", 2);
  happen("pagehide");
  assert.deepEqual(state.plain().varied, { n: 2 });
});

test("drafts belong to one set of numbers and one part", () => {
  const form = (/** @type {Record<string, string>} */ fields) => ({
    action: "http://mill.test/lesson/taper/exercise/twist/submit",
    querySelector: (/** @type {string} */ s) => ({ value: fields[/name="(\w+)"/.exec(s)?.[1] ?? ""] ?? "" }),
  });
  const one = new Drafts(/** @type {any} */ (form({ sheet: "a", series: "0", part: "1" })));
  one.draft = "3.2 deg";
  one.pending = "answer=3.2";
  assert.equal(new Drafts(/** @type {any} */ (form({ sheet: "a", series: "0", part: "1" }))).draft, "3.2 deg");
  for (const other of [{ sheet: "b", series: "0", part: "1" }, { sheet: "a", series: "1", part: "1" }, { sheet: "a", series: "0", part: "2" }]) {
    assert.equal(new Drafts(/** @type {any} */ (form(other))).draft, null);
  }
  one.clear();
  assert.deepEqual([one.draft, one.pending], [null, null]);
});
