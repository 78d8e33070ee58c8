import assert from "node:assert/strict";
import { beforeEach, test } from "node:test";

import { browser, happen, openBrowser } from "./browser.js";
import { difference, fromServer, Keep } from "../js/keep.js";
import { State } from "../js/state.js";

/** @type {{revision: number, edits: Record<string, string>, varied: Record<string, number>, replaced?: string[], moved?: string[]}} */
let server;
let put, said, status;
beforeEach(() => {
  openBrowser();
  server = { revision: 0, edits: {}, varied: {} };
  [put, said, status] = [[], [], 200];
  browser.answer = ({ method, body }) => {
    if (status === 0) throw new Error("the line is down");
    if (status !== 200) return { status, json: { detail: "not now" } };
    if (method === "GET") return { status, json: structuredClone(server) };
    const changes = JSON.parse(body);
    for (const kind of ["edits", "varied"]) {
      for (const [key, value] of Object.entries(changes[kind])) {
        if (value === null) delete server[kind][key];
        else server[kind][key] = value;
      }
    }
    server.revision++;
    return { status, json: { revision: server.revision, replaced: server.replaced } };
  };
});

/** Opens the page of a lesson, as a visit does. */
async function visit() {
  const state = new State("taper");
  new Keep("taper", state, { put: (edits, varied) => put.push({ edits, varied }), say: (words) => said.push(words) });
  await browser.clock.pass(0);
  return state;
}
const saves = () => browser.requests.filter((r) => r.method === "POST").map((r) => JSON.parse(r.body));

test("merging takes from the server what this device has not changed", () => {
  for (const [name, mine, base, theirs, want] of [
    ["nothing anywhere", {}, {}, {}, {}],
    ["new on the server", {}, {}, { a: "1" }, { a: "1" }],
    ["newer on the server", { a: "1" }, { a: "1" }, { a: "2" }, { a: "2" }],
    ["gone from the server", { a: "1" }, { a: "1" }, {}, { a: null }],
    ["changed here only", { a: "2" }, { a: "1" }, { a: "1" }, {}],
    ["changed on both sides", { a: "2" }, { a: "1" }, { a: "3" }, {}],
    ["restored here, changed there", {}, { a: "1" }, { a: "2" }, {}],
    ["the same on both sides", { a: "2" }, { a: "1" }, { a: "2" }, {}],
  ]) assert.deepEqual(fromServer(mine, base, theirs), want, name);
});

test("what is sent is the difference, with null for what is gone", () => {
  for (const [name, mine, theirs, want] of [
    ["the same", { a: "1" }, { a: "1" }, {}],
    ["new and changed", { a: "2", b: "1" }, { a: "1" }, { a: "2", b: "1" }],
    ["restored", {}, { a: "1" }, { a: null }],
    ["a value of nought", { n: 0 }, { n: 1 }, { n: 0 }],
  ]) assert.deepEqual(difference(mine, theirs), want, name);
});

test("sending the difference makes the server hold what this device has", () => {
  const values = [undefined, "1", "2"];
  for (const mine of values) for (const theirs of values) {
    const held = theirs === undefined ? {} : { a: theirs };
    for (const [key, value] of Object.entries(difference(mine === undefined ? {} : { a: mine }, held))) {
      if (value === null) delete held[key];
      else held[key] = value;
    }
    assert.equal(held.a, mine);
  }
});

test("a change is saved once typing rests, and at the latest after 3 s", async () => {
  const state = await visit();
  for (let i = 0; i < 10; i++) {
    state.edit("calc-1", `d = ${i}`, "");
    await browser.clock.pass(500);
  }
  assert.equal(saves().length, 1, "5 s of typing with no rest");
  await browser.clock.pass(800);
  assert.deepEqual(saves().map((s) => s.base), [0, 1]);
  assert.deepEqual(server.edits, { "calc-1": "d = 9" });
});

test("nothing is sent before the server was asked, and nothing when it keeps nothing", async () => {
  status = 404;
  const state = await visit();
  state.vary("n", 3);
  await browser.clock.pass(60_000);
  assert.equal(saves().length, 0);
});

test("what was changed while offline is sent when the server answers again", async () => {
  const state = await visit();
  status = 0;
  state.vary("n", 3);
  await browser.clock.pass(12_000);
  state.vary("n", 4);
  status = 200;
  await browser.clock.pass(6000);
  assert.deepEqual(server.varied, { n: 4 });
  assert.equal(server.revision, 1);
});

test("a change goes again soon after a failure, then ever more slowly, up to 5 s", async () => {
  const state = await visit();
  status = 0;
  state.vary("n", 3);
  const gaps = [];
  for (let from = browser.clock.now; gaps.length < 6; ) {
    const count = saves().length;
    while (saves().length === count) await browser.clock.pass(100);
    gaps.push(browser.clock.now - from);
    from = browser.clock.now;
  }
  assert.deepEqual(gaps, [800, 500, 1000, 2000, 4000, 5000]);
});

test("a change of another device comes in on return, and this device's own stays", async () => {
  const state = await visit();
  state.edit("calc-1", "mine", "");
  await browser.clock.pass(1000);
  server.edits["calc-2"] = "theirs";
  server.revision++;
  status = 0;
  state.edit("calc-1", "mine, later", ""); // not sent
  await browser.clock.pass(500);
  happen("pagehide");
  await browser.clock.pass(0);
  status = 200;
  await visit();
  assert.deepEqual(put, [{ edits: { "calc-2": "theirs" }, varied: {} }]);
});

test("a server that knows less than this device gets everything again", async () => {
  const state = await visit();
  state.vary("n", 3);
  await browser.clock.pass(1000);
  server = { revision: 0, edits: {}, varied: {} }; // put back from a backup
  await visit();
  await browser.clock.pass(1000);
  assert.deepEqual(put, []);
  assert.deepEqual(server.varied, { n: 3 });
});

test("after another person has signed in nothing is saved", async () => {
  const state = await visit();
  browser.document.documentElement.dataset.whose = "aa";
  browser.document.cookie = "shaftbook_whose=bb";
  state.vary("n", 3);
  await browser.clock.pass(10_000);
  assert.equal(saves().length, 0);
  assert.equal(said.length, 1);
});

test("what another window had saved is said when it is replaced", async () => {
  const state = await visit();
  server.replaced = ["calc-1"];
  state.edit("calc-1", "x", "");
  await browser.clock.pass(1000);
  assert.equal(said.length, 1);
  assert.match(said[0], /calc-1/);
});

test("that the store cannot save is said once while it lasts", async () => {
  const state = await visit();
  status = 503;
  state.vary("n", 3);
  await browser.clock.pass(30_000);
  assert.equal(said.length, 1);
});

test("an idle window that is loaded again takes nothing from the one in which the reader works", async () => {
  const busy = await visit();
  await visit(); // idle
  busy.edit("calc-1", "T = 400 N·m", "T = 420 N·m");
  busy.vary("n", 12);
  await browser.clock.pass(2000);
  happen("pagehide"); // the idle one goes ...
  const again = await visit(); // ... and comes back
  await browser.clock.pass(10000);
  assert.deepEqual(again.plain(), { edits: { "calc-1": "T = 400 N·m" }, varied: { n: 12 } });
  assert.deepEqual([server.edits, server.varied], [{ "calc-1": "T = 400 N·m" }, { n: 12 }]);
});
