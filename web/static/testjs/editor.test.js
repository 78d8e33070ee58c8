import assert from "node:assert/strict";
import { test } from "node:test";

import { shifted } from "../js/editor.js";

/** @param {string} before @param {string} after @param {string} marked */
function kept(before, after, marked) {
  const from = before.indexOf(marked);
  const mark = { from, to: from + marked.length, kind: /** @type {"error"} */ ("error") };
  return shifted([mark], before, after).map((m) => after.slice(m.from, m.to));
}

test("a mark goes with its text", () => {
  assert.deepEqual(kept("a = 1\nb = 2 N", "a = 1 m\nb = 2 N", "2 N"), ["2 N"]);
  assert.deepEqual(kept("a = 1 N\nb = 2", "a = 1 N\nb = 2 m", "1 N"), ["1 N"]);
});

test("a mark goes when its text changes, or what touches it", () => {
  assert.deepEqual(kept("a = 1 N", "a = 1 m", "1 N"), []);
  assert.deepEqual(kept("a = 420", "a = 420 N", "420"), []);
  assert.deepEqual(kept("a = 1 N", "a = 21 N", "1 N"), []);
});
