package contract

import (
	"context"

	"shaftbook/exercises/store"
)

// Levels keeps how often things were tried, for servers on one database that bound
// it together.
type Levels interface {
	// Level changes the level of a key to what next returns for the one that is kept,
	// which is the zero Level of a key that is not known or was long gone. Changes of
	// one key follow one another, on all servers. next may be called again where a
	// transaction failed. Of the keys only a hash is kept. A level is no learner's
	// work: the last changes may be lost when the database fails.
	Level(ctx context.Context, key string, next func(store.Level) store.Level) error
}
