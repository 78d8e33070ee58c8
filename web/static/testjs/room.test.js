import assert from "node:assert/strict";
import { beforeEach, test } from "node:test";

import { browser, Element, happen, openBrowser } from "./browser.js";
import { attachRoom } from "../js/room.js";

let said, note;
beforeEach(() => {
  openBrowser();
  note = new Element();
  said = [];
  const room = new Element({ ".js-room-pieces": new Element(), ".js-room-said": note });
  room.dataset.live = "/class/mill/room/live";
  browser.document.found[".js-room"] = room;
  attachRoom((words) => said.push(words));
});
const socket = () => browser.sockets.at(-1);

test("it follows the room over a socket of its own", () => {
  assert.equal(socket().url, "ws://mill.test/class/mill/room/live");
  socket().open();
  assert.notEqual(note.textContent, "");
  assert.deepEqual(said, [], "a room that is followed is nothing to interrupt for");
});

test("a line that drops is said once, and so is its return", async () => {
  socket().open();
  for (const wait of [500, 1000, 2000]) {
    socket().end();
    const count = browser.sockets.length;
    await browser.clock.pass(wait - 1);
    assert.equal(browser.sockets.length, count);
    await browser.clock.pass(1);
    assert.equal(browser.sockets.length, count + 1);
  }
  assert.equal(said.length, 1);
  socket().open();
  assert.equal(said.length, 2);
});

test("a page that may not see the room any more waits half a minute", async () => {
  socket().open();
  socket().end(1008);
  await browser.clock.pass(29_999);
  assert.equal(browser.sockets.length, 1);
  await browser.clock.pass(1);
  assert.equal(browser.sockets.length, 2);
});

test("a page that comes out of the browser's store connects at once", () => {
  socket().open();
  socket().end();
  happen("pageshow", { persisted: false });
  assert.equal(browser.sockets.length, 1);
  happen("pageshow", { persisted: true });
  assert.equal(browser.sockets.length, 2);
});
