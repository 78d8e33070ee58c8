package lessons

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"io"
	"io/fs"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"
	"unicode/utf8"

	"shaftbook/kernel/source"
)

// A reading is what became of one file; it has no lesson if it could not be read.
type reading struct {
	lesson *Lesson
	list   source.List
	of     [sha256.Size]byte // the bytes of the file
	own    source.List       // list without what was added because the file cannot be read now
}

// readAll reads files side by side. What it returns does not depend on how many
// processors do it.
func readAll(fsys fs.FS, names []string, known map[string]reading, own bool) []reading {
	all := make([]reading, len(names))
	var next atomic.Int64
	var group sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), len(names)) {
		group.Go(func() {
			for i := int(next.Add(1)) - 1; i < len(names); i = int(next.Add(1)) - 1 {
				before, ok := known[names[i]]
				all[i] = readOne(fsys, names[i], before, ok, own)
			}
		})
	}
	group.Wait()
	return all
}

// readOne reads one file; before is what was read of it the last time, if ok.
func readOne(fsys fs.FS, name string, before reading, ok, own bool) reading {
	src, err := readPlain(fsys, name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return reading{} // it went away between the listing and now
	case err != nil && ok:
		return before.kept("this file cannot be read: "+err.Error(), "see who may read it")
	case err != nil:
		return reading{list: source.List{{Code: CodeFile, Message: "this file cannot be read: " + err.Error()}}}
	}
	of := sha256.Sum256(src)
	switch {
	case ok && before.of == of:
		before.list = before.own
		return before
	case ok && len(bytes.TrimSpace(src)) == 0:
		return before.kept("this file is empty", "write the lesson, or delete the file")
	case ok && len(src) > MaxFile:
		return before.kept("this file is larger than a lesson can be", "split it into several lessons")
	case ok && (!utf8.Valid(src) || slices.Contains(src, 0)):
		return before.kept("this file is not text in UTF-8", "save it as UTF-8")
	}
	l, list := Parse(name, src)
	l.Own = own
	return reading{l, list, of, list}
}

var errNotPlain = errors.New("it is not a plain file")

// readPlain reads a file, or a byte more than a lesson may have of a larger one. What is
// not a plain file, such as a pipe, is not opened: that could wait for ever.
func readPlain(fsys fs.FS, name string) ([]byte, error) {
	info, err := fs.Stat(fsys, name)
	if err != nil {
		return nil, err
	}
	if !info.Mode().IsRegular() {
		return nil, errNotPlain
	}
	f, err := fsys.Open(name)
	if err != nil {
		return nil, err
	}
	defer func() { _ = f.Close() }()
	return io.ReadAll(io.LimitReader(f, MaxFile+1))
}

// kept returns the reading with a fault that says why it is not read anew.
func (r reading) kept(why, repair string) reading {
	d := source.Diagnostic{Code: CodeFile, Message: why + ", so that the lesson is shown as it was before", Repair: repair}
	d.Span = source.Span{Text: r.lesson.Text}
	r.list = append(source.List{d}, r.own...)
	return r
}
