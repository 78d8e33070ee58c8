import assert from "node:assert/strict";
import { beforeEach, test } from "node:test";

import { browser, Element, happen, openBrowser } from "./browser.js";
import { withGaps } from "../js/derivation.js";
import { forgetFormer } from "../js/ownlist.js";
import { OwnPage, same } from "../js/ownpage.js";

const key = "shaftbook:page:P1";
/** @type {{revision: number, text: string, numbers: Record<string, string>, replaced?: boolean}} */
let server;
let status, said, shown;
beforeEach(() => {
  openBrowser();
  server = { revision: 1, text: "a", numbers: {} };
  [status, said] = [200, []];
  browser.answer = ({ method, body }) => {
    if (status === 0) throw new Error("the line is down");
    if (status !== 200) return { status, json: { title: "Not now", detail: "later" } };
    if (method === "GET") return { status, json: structuredClone(server) };
    const sent = JSON.parse(body);
    server = { ...server, text: sent.text, numbers: sent.numbers, revision: server.revision + 1 };
    return { status, json: structuredClone(server) };
  };
});

/** Opens the page as the server has it. @param {string} [typed] before the scripts ran */
function visit(typed) {
  const served = { text: server.text, numbers: { ...server.numbers } };
  shown = { text: typed ?? served.text, numbers: { ...served.numbers } };
  const root = new Element();
  Object.assign(root.dataset, { page: "P1", revision: String(server.revision), lines: "200", judged: "16384", most: "49152" });
  const page = new OwnPage(/** @type {any} */ (root), {
    served, read: () => structuredClone(shown), put: (content) => { shown = structuredClone(content); }, say: (words) => said.push(words),
  });
  return { page, type(text) { shown.text = text; page.changed(); } };
}
const saves = () => browser.requests.filter((r) => r.method === "POST").map((r) => JSON.parse(r.body));

test("a page as the server has it sends nothing and keeps nothing", async () => {
  visit();
  await browser.clock.pass(10000);
  assert.deepEqual([saves(), browser.storage.map.size], [[], 0]);
});

test("what is typed is on this device at once, on the server when typing rests, and then only there", async () => {
  const { type } = visit();
  type("ab");
  assert.equal(JSON.parse(browser.storage.getItem(key)).text, "ab");
  await browser.clock.pass(500);
  type("abc");
  assert.equal(saves().length, 0);
  await browser.clock.pass(900);
  assert.deepEqual(saves().map(({ base, text, was }) => [base, text, was.text]), [[1, "abc", "a"]]);
  assert.equal(browser.storage.getItem(key), null);
  type("abcd");
  await browser.clock.pass(900);
  assert.deepEqual(saves().at(-1).was.text, "abc");
});

test("while the line is down it stays on this device, and goes up once it is back", async () => {
  status = 0;
  const { type } = visit();
  type("ab");
  await browser.clock.pass(6000);
  assert.equal(JSON.parse(browser.storage.getItem(key)).text, "ab");
  status = 200;
  await browser.clock.pass(6000);
  assert.deepEqual([server.text, browser.storage.getItem(key)], ["ab", null]);
});

test("what this device kept from another visit is put back and saved against what it had seen", async () => {
  browser.storage.setItem(key, JSON.stringify({ text: "mine", numbers: {}, copy: { revision: 1, text: "a", numbers: {} } }));
  server = { revision: 3, text: "theirs", numbers: {} };
  visit();
  assert.equal(shown.text, "mine");
  await browser.clock.pass(900);
  assert.deepEqual(saves().map(({ base, text, was }) => [base, text, was.text]), [[1, "mine", "a"]]);
});

test("what this device kept and the server has is let go of", async () => {
  browser.storage.setItem(key, JSON.stringify({ text: "a", numbers: {}, copy: { revision: 0, text: "", numbers: {} } }));
  visit();
  await browser.clock.pass(900);
  assert.deepEqual([saves(), browser.storage.getItem(key)], [[], null]);
});

test("storage that holds something else does no harm", async () => {
  browser.storage.setItem(key, "[");
  visit();
  await browser.clock.pass(900);
  assert.deepEqual(saves(), []);
});

test("what was typed before the script ran is saved", async () => {
  visit("ab");
  await browser.clock.pass(900);
  assert.equal(server.text, "ab");
});

test("what the server joined is put into the page", async () => {
  const { type } = visit();
  browser.answer = ({ body }) => ({ status: 200, json: { ...JSON.parse(body), revision: 5, numbers: { T: "1 N·m" } } });
  type("ab");
  await browser.clock.pass(900);
  assert.deepEqual(shown, { text: "ab", numbers: { T: "1 N·m" } });
  await browser.clock.pass(9000);
  assert.equal(saves().length, 1);
});

test("a text that has replaced another says so", async () => {
  const { type } = visit();
  server.replaced = true;
  type("ab");
  await browser.clock.pass(900);
  assert.equal(said.length, 1);
});

test("a page that was deleted elsewhere keeps the text and says so once", async () => {
  status = 404;
  const { type } = visit();
  type("ab");
  await browser.clock.pass(20000);
  assert.equal(said.length, 1);
  assert.equal(JSON.parse(browser.storage.getItem(key)).text, "ab");
  status = 200;
  await browser.clock.pass(6000);
  assert.equal(server.text, "ab");
});

test("a window that comes back to the front takes in what another has saved", async () => {
  const { page, type } = visit();
  server = { revision: 2, text: "theirs", numbers: {} };
  await page.look();
  assert.equal(shown.text, "theirs");
  type("mine");
  server = { revision: 3, text: "again", numbers: {} };
  await page.look();
  assert.equal(shown.text, "mine");
});

test("leaving the page sends what is not saved", async () => {
  const { type } = visit();
  type("ab");
  happen("pagehide");
  await browser.clock.pass(0);
  assert.equal(server.text, "ab");
});

test("numbers are the same but for spaces and empty ones", () => {
  for (const [name, a, b, want] of [
    ["none", {}, { T: "  " }, true], ["spaces", { T: "1  N·m " }, { T: "1 N·m" }, true],
    ["another", { T: "1" }, { T: "2" }, false], ["one more", { T: "1" }, { T: "1", L: "2" }, false],
  ]) assert.equal(same({ text: "", numbers: a }, { text: "", numbers: b }), want, name);
});

// The same cases as TestWithGaps of web/app/derivation.
test("what fills a gap takes its place", () => {
  const text = "a = b\n  = ?   because of c\n# = ?\n=?\n\t= d";
  for (const [name, gaps, want] of [
    ["none", [], text],
    ["left open", ["", " ? "], text],
    ["the second only", ["", "e"], "a = b\n  = ?   because of c\n# = ?\n=e\n\t= d"],
    ["both, the reason stays", ["= x", "y"], "a = b\n  = x   because of c\n# = ?\n=y\n\t= d"],
    ["a reason of its own", ["x because I say so"], "a = b\n  = x because I say so\n# = ?\n=?\n\t= d"],
    ["more than there are", ["", "", "e"], text],
    ["signs that a replacement might read", ["$1 \\1"], "a = b\n  = $1 \\1   because of c\n# = ?\n=?\n\t= d"],
  ]) assert.equal(withGaps(text, gaps), want, name);
});

test("what was written before pages were kept is let go of once a page has it, and only then", () => {
  const former = "shaftbook:derivation:";
  browser.storage.setItem(former, JSON.stringify({ own: { text: "a = b\n = ?", gaps: ["c"], data: {} } }));
  forgetFormer("a = b\n = d");
  assert.notEqual(browser.storage.getItem(former), null);
  forgetFormer("a = b\n = c");
  assert.equal(browser.storage.getItem(former), null);
  browser.storage.setItem(former, "[");
  forgetFormer("");
});

test("a limit is said before it is reached, and after", () => {
  const { page, type } = visit();
  page.limit = /** @type {any} */ (Object.assign(new Element(), { hidden: true }));
  for (const [name, lines, hidden, words] of [
    ["short", 20, true, ""], ["nearly", 180, false, "180 lines; up to 200"], ["beyond", 210, false, "more than the 200"], ["short again", 20, true, ""],
  ]) {
    type("x = 1\n".repeat(lines));
    assert.equal(page.limit?.hidden, hidden, name);
    assert.ok(page.limit?.textContent?.includes(words), name);
  }
});
