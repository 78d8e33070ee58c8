// Package contract lists what a store of learners' work and of classes must do,
// in small interfaces by subject.
//
// Code that uses a store asks only for the interfaces, or the methods, that it
// needs. Package sqlstore has them all ([Store]), and package storetest tests
// each promise on both databases.
//
// A store is safe for concurrent use. A method that writes returns without error
// only when what it wrote is durable: it survives the end of the process, and, as
// far as the disk keeps its word, of the machine. After an error that is not a
// [store.Refusal], also one of ctx, the work may or may not have been kept;
// sending it again is always right. A method that writes returns
// [store.ErrErased] for a learner who was erased (see [Dossiers]).
//
// A method that takes a [class.Entry] writes it to the audit log in the same
// transaction; an Entry without an Action is not written. For what does not exist
// a method returns [class.ErrNone], and an empty slice where there could be many.
//
// Errors: a [store.Refusal] or a [store.Fault] in the sense of errors.Is, or the
// error of ctx.
package contract

import (
	"context"

	"shaftbook/exercises/store"
)

// A Store keeps learners' work and classes in one database.
type Store interface {
	Work
	School
	Levels
	Verifier
	Observed
}

// An Observed store reports on itself.
type Observed interface {
	// Observe lets an observer be told of every transaction from then on, in the place
	// of an earlier one.
	Observe(store.Observer)

	// Ready returns nil if a write would be kept now. It costs no more than one write
	// in some seconds, however often it is called.
	Ready(ctx context.Context) error

	// Connections returns how many connections to the database are open, and how many
	// of them are in use.
	Connections() (open, used int)
}

// A Verifier reads all that marks rest on.
type Verifier interface {
	// Verify computes the checksum of every attempt and of every entry of the log
	// anew and compares it with the one that was kept with it.
	Verify(ctx context.Context) (store.Verification, error)
}
