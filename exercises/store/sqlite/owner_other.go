//go:build !(darwin || linux)

package sqlite

// TakeOwner does nothing: these systems have no owner as a number, or none that a
// program changes.
func TakeOwner(string) error { return nil }

// rights knows nothing of the rights of these systems.
func rights(string) error { return nil }
