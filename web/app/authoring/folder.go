package authoring

import (
	"crypto/rand"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"slices"
	"strings"
	"sync"
)

// A Folder is the folder of lessons of a server. Nothing outside of it is read or
// written, also by way of links. It is safe for concurrent use by one server.
type Folder struct {
	Path string // as the server was given it

	root *os.Root
	mu   sync.Mutex // held while a file is compared and replaced
}

// OpenFolder opens a folder until the process ends.
func OpenFolder(path string) (*Folder, error) {
	root, err := os.OpenRoot(path)
	if err != nil {
		return nil, fmt.Errorf("the folder of lessons cannot be opened: %w", err)
	}
	return &Folder{Path: path, root: root}, nil
}

// Errors of a folder.
var (
	ErrNoFile = errors.New("there is no such file in the folder of lessons")
	ErrLink   = errors.New("this is a link or a folder and not a file, so that it is not written")
)

func fileOf(slug string) string { return slug + ".md" }

// Read returns the text of a lesson's file, and whether there is one.
func (f *Folder) Read(slug string) (text string, there bool, err error) {
	file, err := f.root.Open(fileOf(slug))
	if errors.Is(err, fs.ErrNotExist) {
		return "", false, nil
	}
	if err != nil {
		return "", false, err
	}
	defer file.Close()
	content, err := io.ReadAll(io.LimitReader(file, mostFile+1))
	if err == nil && len(content) > mostFile {
		err = ErrTooLong
	}
	return string(content), err == nil, err
}

// mostFile bounds what is read of a file.
const mostFile = 1 << 20

// Slugs returns the lessons of the folder by name.
func (f *Folder) Slugs() ([]string, error) {
	names, err := fs.Glob(f.root.FS(), "*.md")
	var slugs []string
	for _, name := range names {
		if slug := strings.TrimSuffix(name, ".md"); IsSlug(slug) {
			slugs = append(slugs, slug)
		}
	}
	slices.Sort(slugs)
	return slugs, err
}

// replace puts a text into a lesson's file if the file still is what was seen: it is
// written under another name, brought to the disk and then renamed, so that a reader and
// a crash find the one text or the other. was is the text before.
func (f *Folder) replace(slug, text string, still func(was string, there bool) error) (was string, there bool, err error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	was, there, err = f.Read(slug)
	if err == nil {
		err = still(was, there)
	}
	if err != nil {
		return was, there, err
	}
	if strings.Contains(was, "\r\n") { // as an editor of another system ends lines
		text = strings.ReplaceAll(text, "\n", "\r\n")
	}
	return was, there, f.write(fileOf(slug), []byte(text))
}

// write writes a whole file in one step. The mode of a file that is there stays.
func (f *Folder) write(name string, content []byte) error {
	mode := fs.FileMode(0o644)
	switch info, err := f.root.Lstat(name); {
	case err == nil && !info.Mode().IsRegular():
		return ErrLink
	case err == nil:
		mode = info.Mode().Perm()
	case !errors.Is(err, fs.ErrNotExist):
		return err
	}
	part := "." + name + "." + rand.Text()[:8] + ".part"
	err := f.writeNew(part, content, mode)
	if err == nil {
		err = f.root.Rename(part, name)
	}
	if err != nil {
		_ = f.root.Remove(part) // whatever there is of it
		return err
	}
	return f.sync()
}

// writeNew writes a file that is not there, and brings it to the disk.
func (f *Folder) writeNew(name string, content []byte, mode fs.FileMode) error {
	file, err := f.root.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, mode)
	if err != nil {
		return err
	}
	_, err = file.Write(content)
	if err == nil {
		err = file.Chmod(mode) // whatever the process takes away from new files
	}
	if err == nil {
		err = file.Sync()
	}
	return errors.Join(err, file.Close())
}

// sync brings the names of the folder to the disk.
func (f *Folder) sync() error {
	dir, err := f.root.Open(".")
	if err != nil {
		return err
	}
	defer dir.Close()
	if err := dir.Sync(); err != nil && !errors.Is(err, errors.ErrUnsupported) && !errors.Is(err, fs.ErrInvalid) {
		return err
	}
	return nil
}

// AddImage puts an image beside the lessons, under a name that is not taken.
func (f *Folder) AddImage(name string, content []byte) error {
	f.mu.Lock()
	defer f.mu.Unlock()
	if _, err := f.root.Lstat(name); err == nil {
		return ErrTaken
	} else if !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return f.write(name, content)
}

// Image returns an image that is beside the lessons.
func (f *Folder) Image(name string) ([]byte, error) {
	if !IsImageName(name) {
		return nil, ErrNoFile
	}
	file, err := f.root.Open(name)
	if err != nil {
		return nil, ErrNoFile
	}
	defer file.Close()
	if info, err := file.Stat(); err != nil || !info.Mode().IsRegular() {
		return nil, ErrNoFile
	}
	content, err := io.ReadAll(io.LimitReader(file, mostServed+1))
	if err == nil && len(content) > mostServed {
		err = ErrNoFile
	}
	return content, err
}

// mostServed bounds an image that the page of a draft shows.
const mostServed = 16 << 20

// IsImageName reports whether a name is that of an image beside the lessons.
func IsImageName(name string) bool {
	end := path.Ext(name)
	return (end == ".svg" || end == ".png") && !strings.ContainsAny(name, `/\`) && !strings.HasPrefix(name, ".")
}
