package sqlite

import (
	"errors"
	"fmt"
	"os"
)

// roomLeast is the room in bytes that a store needs: SQLite makes a file of 32 kB
// beside it, and a write of the longest text of a cell takes some 100 kB of its log.
const roomLeast = 256 << 10

// room returns a [store.ErrFull] if the disk of a folder has no room for what a write
// may need. Unless it has to be sure, it first asks the file system, which costs next
// to nothing; else, and where that reports no room, a file is written, since part of a
// disk may be set aside for one user, or a quota may hold.
func room(folder string, sure bool) (err error) {
	if !sure && !isFull(folder) {
		return nil
	}
	f, err := os.CreateTemp(folder, ".shaftbook-*")
	if err != nil {
		return systemFault(err)
	}
	_, err = f.Write(make([]byte, roomLeast))
	if err == nil {
		err = f.Sync()
	}
	if err := errors.Join(err, f.Close(), os.Remove(f.Name())); err != nil {
		return fmt.Errorf("a file of %d kB could not be written: %w", roomLeast>>10, systemFault(err))
	}
	return nil
}
