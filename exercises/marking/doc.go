// Package marking judges one answer to one part of an exercise: it finds whether
// the answer is right within its tolerance, and if not, which rung of a ladder of
// verdicts it belongs on, with a reason and a next step.
//
// The tolerance on the exact value decides what is right. Bounds show that an
// answer is impossible, and slips explain a wrong one; neither gives marks. No
// verdict holds the expected value.
//
// Start with Marker.Mark. Package exercises makes a Marker for each part of a
// learner's variant; what a Marker needs of the variant is the interface
// Numbers.
package marking
