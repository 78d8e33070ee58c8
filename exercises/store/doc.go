// Package store holds the types and errors of what is kept about a learner's
// work: attempts at exercises with the verdict on each, predictions made before a
// result was shown, how well exercises hold that are practised, the learner's own changes to the cells of a lesson, and pages of
// the learner's own.
//
// Package contract lists what a store must do. Package sqlstore does it with SQL,
// packages sqlite and postgres each add one database, package storetest tests the
// contract on both, and package open opens a store by its name.
package store
