// Package exercises reads the exercise block of a lesson, draws each learner's
// numbers from a keyed hash, and proves to the author that every set of numbers
// can be answered and marked.
//
// Start with Parse, then Exercise.Variant; Prove checks an exercise for its
// author. Answers are judged by package marking.
package exercises
