package sqlite

import (
	"os"
	"sync"
	"syscall"

	sqlite "modernc.org/sqlite"
)

// syncData lets commits wait with fdatasync(2), as SQLite does in the builds of every
// Linux distribution. It waits for the data of a file and for what is needed to read
// it back, its size included, but not for the time of its last change; fsync(2),
// which the driver uses unless told, writes the journal of the file system for that
// alone (fdatasync(2); sqlite.org/compile.html, HAVE_FDATASYNC). Where the call is
// forbidden to the process, fsync stays.
var syncData = sync.OnceFunc(func() {
	f, err := os.CreateTemp("", "shaftbook-*")
	if err != nil {
		return
	}
	defer os.Remove(f.Name())
	defer f.Close()
	if syscall.Fdatasync(int(f.Fd())) == nil {
		sqlite.Fdatasync(true) // an error leaves fsync
	}
})
