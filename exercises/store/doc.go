// Package store says what is kept of a learner's work and what a store of it
// promises: attempts at exercises with the verdict each was given, predictions
// committed before a result was shown, and the learner's own changes to the
// cells of a lesson.
//
// It holds types, errors and the contract ([Store]) only. Package sqlstore
// keeps the contract with SQL, packages sqlite and postgres each add one
// database, package storetest tests the contract on both, and package open
// picks a store by its name.
package store
