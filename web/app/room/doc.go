// Package room gathers what an instructor sees of a class at work: who is where
// in the lesson, at which exercise the class stalls, what was predicted and what
// was answered. It reads the store and marks nothing; it does not use HTTP.
package room
