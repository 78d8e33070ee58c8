//go:build darwin || linux

package sqlite

import "syscall"

// isFull reports whether the disk of a folder has no room.
func isFull(folder string) bool {
	var s syscall.Statfs_t
	if err := syscall.Statfs(folder, &s); err != nil {
		return false
	}
	return uint64(s.Bavail)*uint64(s.Bsize) < roomLeast
}
