package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
)

// defaultFolder is where a server that was told nothing keeps learners' work:
// the place for data of programs in the user's own folder.
func defaultFolder() (string, error) {
	if runtime.GOOS == "windows" {
		if local := os.Getenv("LocalAppData"); local != "" {
			return filepath.Join(local, "shaftbook"), nil
		}
	}
	if runtime.GOOS == "windows" || runtime.GOOS == "darwin" || runtime.GOOS == "ios" {
		// There, data and settings share a place.
		return inFolder(os.UserConfigDir())
	}
	// XDG Base Directory Specification 0.8: a relative path is to be ignored.
	if data := os.Getenv("XDG_DATA_HOME"); filepath.IsAbs(data) {
		return filepath.Join(data, "shaftbook"), nil
	}
	home, err := os.UserHomeDir()
	return inFolder(filepath.Join(home, ".local", "share"), err)
}

// inFolder takes what the system says of a user's folder.
func inFolder(folder string, err error) (string, error) {
	if err != nil {
		return "", errors.Join(errors.New("there is no folder to store learners' work in: name one with --data"), err)
	}
	return filepath.Join(folder, "shaftbook"), nil
}

// makeFolder makes a data folder that only its owner can look into.
func makeFolder(folder string) error {
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return fmt.Errorf("the data folder cannot be created: %w", err)
	}
	return nil
}

// lessonFiles are the files of a folder of lessons. A link that leads out of the folder
// is not followed: whoever may write lessons may not read the rest of the machine. The
// folder is open until the process ends.
func lessonFiles(folder string) (fs.FS, error) {
	info, err := os.Stat(folder)
	if err != nil {
		return nil, fmt.Errorf("the folder of lessons cannot be read: %w", err)
	}
	if !info.IsDir() {
		return nil, fmt.Errorf("%s is not a folder of lessons", folder)
	}
	root, err := os.OpenRoot(folder)
	if err != nil {
		return nil, fmt.Errorf("the folder of lessons cannot be read: %w", err)
	}
	return root.FS(), nil
}
