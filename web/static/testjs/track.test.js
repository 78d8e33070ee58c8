import assert from "node:assert/strict";
import { test } from "node:test";

import { marksOf } from "../js/track.js";

for (const [name, min, max, byRatio, want] of [
  ["a count by ratio", 1, 40, true, [1, 2, 5, 10, 20, 40]],
  ["a count up to a mark", 1, 100, true, [1, 2, 5, 10, 20, 50, 100]],
  ["a length", 36, 72, false, [36, 40, 50, 60, 70, 72]],
  ["over zero", -1, 1, false, [-1, -0.5, 0, 0.5, 1]],
  ["parts of one", 0.1, 0.4, false, [0.1, 0.15, 0.2, 0.25, 0.3, 0.35, 0.4]],
  ["few counts", 1, 6, false, [1, 2, 3, 4, 5, 6]],
  ["nothing to choose", 3, 3, false, [3, 3]],
]) {
  test(`marks of ${name}`, () => assert.deepEqual(marksOf(min, max, byRatio), want));
}
