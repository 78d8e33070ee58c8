//go:build race

package program

// underRace: with the race detector, sync.Pool drops a part of what it is given.
const underRace = true
