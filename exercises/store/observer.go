package store

import "time"

// An Observer is told what becomes of the transactions of a store, for logs and
// measurements. Each function may be nil; it must return at once, since writers wait
// for it, and may be called from several goroutines.
type Observer struct {
	// Committed is told of a transaction that is durable: how long it took, with its
	// wait for the disk, and how many writes shared it.
	Committed func(took time.Duration, writes int)

	// Failed is told the fault with which a store that was well begins to fail.
	Failed func(err error)

	// Recovered is told that a store that failed is well again, and after how long.
	Recovered func(after time.Duration)
}
