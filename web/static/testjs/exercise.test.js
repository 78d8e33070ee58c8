import assert from "node:assert/strict";
import { afterEach, beforeEach, test } from "node:test";

import { browser, Element, Input, openBrowser } from "./browser.js";
import { Drafts } from "../js/draft.js";

let answer, submission, trouble, form, said, Exercise, retryNow;
beforeEach(async () => {
  openBrowser();
  answer = new Input({ name: "answer" });
  submission = new Input({ name: "submission", value: "first" });
  trouble = new Element();
  trouble.hidden = true;
  form = new Element({
    ".js-answer": answer, ".js-trouble": trouble, input: [answer, submission], button: [new Element()], "input[name=submission]": submission,
    'input[name="sheet"]': new Input({ value: "s1" }),
  });
  form.action = "http://mill.test/lesson/taper/exercise/twist/submit";
  said = [];
  ({ Exercise, retryNow } = await import("../js/exercise.js")); // it listens to the window from the start
});
afterEach(async () => {
  form.isConnected = false; // the page is closed
  retryNow();
  await browser.clock.pass(0);
});

/** Opens the page with what this device holds. */
function open() {
  const piece = new Element({ ".js-form": [form] });
  piece.id = "piece";
  return new Exercise(new Element({ ".js-piece": [piece] }), (words) => said.push(words));
}
const pending = "answer=3.2+deg&submission=sent";
const posts = () => browser.requests.filter((r) => r.method === "POST").map((r) => r.body.toString());

test("an answer on its way goes again under the same identifier after the page was loaded again", async () => {
  new Drafts(form).pending = pending;
  browser.answer = () => { throw new Error("the line is down"); };
  open();
  assert.deepEqual([answer.value, answer.readOnly, submission.value], ["3.2 deg", true, "sent"]);
  await browser.clock.pass(8000); // after 1 s, 2 s and 4 s
  assert.deepEqual(posts(), [pending, pending, pending, pending]);
  assert.equal(trouble.hidden, false);
  assert.equal(said.length, 1, "what is wrong is said once");
});

test("it goes again at once when the line is back", async () => {
  new Drafts(form).pending = pending;
  let down = true;
  browser.answer = () => {
    if (down) throw new Error("the line is down");
    return { status: 409, json: { detail: "refused" }, type: "application/problem+json" };
  };
  open();
  await browser.clock.pass(0);
  down = false;
  retryNow();
  await browser.clock.pass(0);
  assert.equal(posts().length, 2);
});

test("a fault of the server is tried again, a refusal is not", async () => {
  new Drafts(form).pending = pending;
  let status = 503;
  browser.answer = () => ({ status, json: { detail: "why" }, type: "application/problem+json" });
  open();
  await browser.clock.pass(1000);
  assert.equal(posts().length, 2);
  status = 429;
  await browser.clock.pass(60_000);
  assert.equal(posts().length, 3);
  assert.deepEqual([answer.readOnly, form.hasAttribute("data-sending")], [false, false]);
  assert.equal(new Drafts(form).pending, null);
  assert.match(submission.value, /^[0-9a-f]{32}$/, "the next answer has an identifier of its own");
});

test("a form that is gone from the page sends no more", async () => {
  new Drafts(form).pending = pending;
  browser.answer = () => { throw new Error("the line is down"); };
  open();
  await browser.clock.pass(0);
  form.isConnected = false;
  await browser.clock.pass(60_000);
  assert.equal(posts().length, 1);
});

test("a draft is put back, and kept as it grows", () => {
  new Drafts(form).draft = "3.";
  const exercise = open();
  assert.equal(answer.value, "3.");
  Object.assign(answer, { form, value: "3.2" });
  exercise.typed({ target: answer });
  assert.equal(new Drafts(form).draft, "3.2");
});
