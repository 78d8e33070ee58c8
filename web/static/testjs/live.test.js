import assert from "node:assert/strict";
import { beforeEach, test } from "node:test";

import { browser, happen, openBrowser } from "./browser.js";
import { Live } from "../js/live.js";
import { State } from "../js/state.js";

let live, state;
beforeEach(() => {
  openBrowser();
  state = new State("taper");
  live = new Live("taper", state);
});

const socket = () => browser.sockets.at(-1);
const sent = () => socket().sent.slice(1); // without the opening message
function online() {
  live.connect();
  socket().open();
}

test("the opening message holds all that the reader has changed", () => {
  state.edit("calc-1", "d = 40 mm", "d = 36 mm");
  state.vary("n", 12);
  online();
  assert.deepEqual(socket().sent, [{
    type: "open", revision: 1, lesson: "taper", edits: { "calc-1": "d = 40 mm" }, varied: { n: 12 }, all: false,
  }]);
});

test("moves of a slider are paced, and only the newest one is sent", async () => {
  online();
  for (let n = 1; n <= 100; n++) {
    live.vary("n", n);
    await browser.clock.pass(10);
  }
  await browser.clock.pass(100);
  const values = sent().map((m) => m.value);
  assert.equal(values.at(-1), 100, "the last place is sent");
  assert.ok(values.length <= 20, `${values.length} messages in a second`);
  assert.deepEqual(values, [...values].sort((a, b) => a - b));
});

test("a server that has answered is told of each frame, and of the last move as soon as it is done", async () => {
  online();
  for (let n = 1; n <= 30; n++) {
    live.vary("n", n);
    socket().say({ type: "done", revision: live.revision });
    await browser.clock.pass(16);
  }
  assert.deepEqual(sent().map((m) => m.value), Array.from({ length: 30 }, (_, i) => i + 1));
  // It is busy: what comes meanwhile is one message, sent with the answer.
  live.vary("n", 31);
  const before = live.revision;
  await browser.clock.pass(16);
  live.vary("n", 32);
  live.vary("n", 33);
  socket().say({ type: "done", revision: before - 1 });
  assert.equal(live.revision, before, "an answer to an earlier one is not that of the last");
  socket().say({ type: "done", revision: before });
  assert.deepEqual([live.revision, sent().at(-1).value], [before + 1, 33]);
});

test("a move on a line that breaks is in the next opening message", async () => {
  online();
  for (const n of [7, 8]) {
    state.vary("n", n);
    live.vary("n", n); // 7 is on its way and is lost, 8 waits
  }
  socket().end();
  await browser.clock.pass(400);
  socket().open();
  await browser.clock.pass(200);
  assert.deepEqual(socket().sent.map((m) => [m.type, m.varied?.n]), [["open", 8]]);
});

test("things that changed go in the order in which they last changed", async () => {
  online();
  live.vary("n", 1);
  live.edit("calc-1", "a");
  live.vary("n", 2);
  await browser.clock.pass(500);
  assert.deepEqual(sent().map((m) => [m.type, m.text ?? m.value, m.revision]), [["edit", "a", 2], ["vary", 2, 3]]);
});

test("what was queued while offline is in the next opening message, once", async () => {
  online();
  socket().end();
  state.vary("n", 3);
  live.vary("n", 3);
  await browser.clock.pass(400);
  assert.equal(browser.sockets.length, 2, "it connects again by itself");
  socket().open();
  await browser.clock.pass(1000);
  assert.equal(socket().sent.length, 1);
  assert.deepEqual([socket().sent[0].varied, socket().sent[0].all], [{ n: 3 }, true]);
});

test("attempts to connect come ever more slowly, up to 4 s", async () => {
  live.connect();
  const gaps = [];
  for (let i = 0; i < 9; i++) {
    const count = browser.sockets.length;
    const from = browser.clock.now;
    socket().end();
    while (browser.sockets.length === count) await browser.clock.pass(100);
    gaps.push(browser.clock.now - from);
  }
  assert.deepEqual(gaps, [400, 800, 1600, 3200, 4000, 4000, 4000, 4000, 4000]);
});

test("after a breach of the rules it waits 30 s, unless the line comes back", async () => {
  online();
  socket().end(1008);
  await browser.clock.pass(29_900);
  assert.equal(browser.sockets.length, 1);
  happen("online");
  assert.equal(browser.sockets.length, 2);
  await browser.clock.pass(60_000);
  assert.equal(browser.sockets.length, 2, "the wait that was set ends with it");
});

test("a result is behind while a newer move waits or is on its way", async () => {
  online();
  live.vary("n", 5);
  assert.equal(live.isAhead("vary n", 1), true, "waiting");
  await browser.clock.pass(100);
  const revision = sent()[0].revision;
  assert.equal(live.isAhead("vary n", revision - 1), true, "sent later than the result");
  assert.equal(live.isAhead("vary n", revision), false);
  assert.equal(live.isAhead("vary other", 0), false);
});

test("restoring takes back what waits, but no question about a derivation", async () => {
  online();
  live.judge("d1", { text: "a = b", gaps: [], data: {} });
  live.edit("calc-1", "x");
  live.restore();
  await browser.clock.pass(500);
  assert.deepEqual(sent().map((m) => m.type), ["judge", "restore"]);
});

test("messages of one frame are handed on one by one, by their type", () => {
  online();
  const heard = [];
  for (const type of ["row", "done"]) live.addEventListener(type, (e) => heard.push([type, e.detail.revision]));
  socket().say({ type: "row", revision: 4 }, { type: "row", revision: 4 }, { type: "done", revision: 4 });
  assert.deepEqual(heard, [["row", 4], ["row", 4], ["done", 4]]);
});

test("a refused connection asks why, and only 401 means signed out", async () => {
  let out = 0;
  live.addEventListener("signed-out", () => out++);
  for (const answer of [() => ({ status: 426 }), () => { throw new Error("away"); }, () => ({ status: 401 })]) {
    browser.answer = answer;
    await live.askWhy();
  }
  assert.equal(out, 1);
});

test("a text that the server was sent last is not sent again", async () => {
  online();
  live.edit("calc-1", "T = 420");
  await browser.clock.pass(200);
  live.edit("calc-1", "T = 420");
  await browser.clock.pass(200);
  assert.equal(live.isAhead("edit calc-1", 2), false, "the answer to it is the newest");
  live.edit("calc-1", "T = 42");
  live.edit("calc-1", "T = 420");
  await browser.clock.pass(200);
  live.edit("calc-1", "T = 1");
  live.restore();
  live.edit("calc-1", "T = 420");
  await browser.clock.pass(500);
  const texts = sent().map((m) => m.text ?? m.type);
  assert.equal(texts.at(-1), "T = 420", "after a restore it is sent");
  assert.equal(texts[0], "T = 420");
  assert.notEqual(texts[1], "T = 420");
});
