import assert from "node:assert/strict";
import { beforeEach, test } from "node:test";

import { browser, Element, Input, openBrowser } from "./browser.js";
import { attachDerivations } from "../js/derivations.js";
import { Live } from "../js/live.js";
import { State } from "../js/state.js";

const key = "shaftbook:derivation:taper";
let live, changes, area;
beforeEach(() => {
  openBrowser();
  live = new Live("taper", new State("taper"));
  changes = 0;
});

/** Opens a page with one derivation of the lesson. @param {object} dataset of the page's main element */
function open(dataset = {}) {
  area = Object.assign(new Input({ value: "a = b\n = c" }), { defaultValue: "a = b\n = c" });
  const button = () => new Element();
  const cell = new Element({
    ".js-rows": new Element(), textarea: area, ".js-numbers": Object.assign(new Element(), { open: false }),
    ".js-restore": button(), ".js-copy-plain": button(), ".js-copy-tex": button(),
  });
  cell.dataset.cell = "d1";
  const root = new Element({ ".js-derivation": [cell] });
  Object.assign(root.dataset, { lesson: "taper" }, dataset);
  return attachDerivations(root, live, /** @type {any} */ ({ say() {} }), () => changes++);
}
function online() {
  live.connect();
  browser.sockets.at(-1).open();
}
const asked = () => browser.sockets.at(-1).sent.filter((m) => m.type === "judge");

test("a derivation as the lesson has it asks nothing and keeps nothing", async () => {
  const derivations = open();
  online();
  await browser.clock.pass(1000);
  assert.deepEqual([derivations.changed, asked(), browser.storage.map.size], [false, [], 0]);
});

test("what this device keeps is put back and judged once the line is there", async () => {
  browser.storage.setItem(key, JSON.stringify({ d1: { text: "a = d", gaps: ["x"], data: {} } }));
  const derivations = open();
  assert.deepEqual([derivations.changed, area.value], [true, "a = d"]);
  online();
  await browser.clock.pass(1000);
  assert.deepEqual(asked().map((m) => [m.cell, m.text, m.gaps]), [["d1", "a = d", ["x"]]]);
});

test("after the line was down it is asked again, since the server keeps nothing", async () => {
  browser.storage.setItem(key, JSON.stringify({ d1: { text: "a = d" } }));
  open();
  online();
  await browser.clock.pass(1000);
  browser.sockets.at(-1).end();
  await browser.clock.pass(400);
  browser.sockets.at(-1).open();
  await browser.clock.pass(1000);
  assert.equal(asked().length, 1);
});

test("a board takes nothing from the device", () => {
  browser.storage.setItem(key, JSON.stringify({ d1: { text: "a = d" } }));
  assert.equal(open({ unkept: "" }).changed, false);
});

test("storage that holds something else does no harm", () => {
  browser.storage.setItem(key, "[");
  assert.equal(open().changed, false);
});
