// Package exercises sets problems and marks answers. It reads the exercise
// block of a lesson, draws each learner's numbers from a keyed hash, judges an
// answer on a ladder of verdicts, each with a reason and a next step, and
// proves to the author that this works for every set of numbers.
//
// What is right is decided by the tolerance on the exact value. Bounds say that
// an answer is impossible, and slips explain a wrong one; neither gives marks.
// No verdict says the expected value.
package exercises
