import assert from "node:assert/strict";
import { beforeEach, test } from "node:test";

import { browser, Element, openBrowser } from "./browser.js";
import { Status } from "../js/status.js";

let status, region;
beforeEach(() => {
  openBrowser();
  region = new Element();
  status = new Status(region);
});

test("one sentence comes when things have been quiet for a while", async () => {
  for (let i = 0; i < 20; i++) {
    status.changed("calc-1 0", `θ = ${i}`);
    await browser.clock.pass(100);
  }
  assert.equal(region.textContent, "");
  await browser.clock.pass(800);
  assert.equal(region.textContent, "θ = 19");
});

test("of many results the last three are read, and how many there were", async () => {
  for (const name of ["a", "b", "c", "d", "e"]) status.changed(name, name);
  status.changed("a", "a2");
  await browser.clock.pass(1000);
  assert.ok(region.textContent.includes("5"));
  assert.ok(region.textContent.endsWith("d; e; a2"));
});

test("a result that has nothing to say any more is not read", async () => {
  status.changed("a", "a");
  status.changed("a", "");
  await browser.clock.pass(1000);
  assert.equal(region.textContent, "");
});

test("the last sentence can be had again, by a change of the region", async () => {
  status.say("θ = 2");
  status.again();
  assert.equal(region.textContent, "");
  await browser.clock.pass(50);
  assert.equal(region.textContent, "θ = 2");
});
