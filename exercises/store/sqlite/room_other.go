//go:build !(darwin || linux)

package sqlite

// isFull reports nothing where the standard library cannot ask for the room of a disk.
func isFull(string) bool { return false }
