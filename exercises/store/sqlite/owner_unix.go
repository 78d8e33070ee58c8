//go:build darwin || linux

package sqlite

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/user"
	"path/filepath"
	"strconv"
	"syscall"
)

// TakeOwner gives a file that root has made the owner and group of its folder, so that
// a server that runs as another user can open it. For any other user it does nothing.
func TakeOwner(path string) error {
	if os.Geteuid() != 0 {
		return nil
	}
	uid, gid, err := ownerOf(filepath.Dir(path))
	if err != nil {
		return err
	}
	return os.Lchown(path, uid, gid)
}

func ownerOf(path string) (uid, gid int, err error) {
	info, err := os.Stat(path)
	if err != nil {
		return 0, 0, err
	}
	s, ok := info.Sys().(*syscall.Stat_t)
	if !ok {
		return 0, 0, errors.ErrUnsupported
	}
	return int(s.Uid), int(s.Gid), nil
}

// Modes of access(2).
const (
	mayRead  = 4
	mayWrite = 2
)

// rights returns an error that says whose a file is if this user may not read and
// write it, and nil also if there is no such file.
func rights(path string) error {
	err := syscall.Access(path, mayRead|mayWrite)
	if !errors.Is(err, fs.ErrPermission) {
		return nil
	}
	uid, _, err := ownerOf(path)
	for err != nil && path != filepath.Dir(path) { // a folder above it is closed
		path = filepath.Dir(path)
		uid, _, err = ownerOf(path)
	}
	if uid == os.Getuid() {
		return fmt.Errorf("%s may not be read and written by its owner, %s: change that with chmod u+rw", path, userName(uid))
	}
	owner := userName(uid)
	return fmt.Errorf("%s belongs to the user %s, and this runs as %s: run it as %s, or change the owner of the file with chown",
		path, owner, userName(os.Getuid()), owner)
}

func userName(uid int) string {
	if u, err := user.LookupId(strconv.Itoa(uid)); err == nil {
		return u.Username
	}
	return strconv.Itoa(uid)
}
