package main

import (
	"path/filepath"
	"runtime"
	"testing"
)

func TestDefaultFolder(t *testing.T) {
	if runtime.GOOS != "linux" {
		t.Skip("the rules below are those of the XDG Base Directory Specification 0.8")
	}
	home, data := t.TempDir(), t.TempDir()
	for _, c := range []struct{ name, home, data, want string }{
		{"a data folder is set", home, data, filepath.Join(data, "shaftbook")},
		{"none is set", home, "", filepath.Join(home, ".local", "share", "shaftbook")},
		{"a relative one is ignored", home, "data", filepath.Join(home, ".local", "share", "shaftbook")},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Setenv("HOME", c.home)
			t.Setenv("XDG_DATA_HOME", c.data)
			if got, err := defaultFolder(); err != nil || got != c.want {
				t.Errorf("%q, %v, want %q", got, err, c.want)
			}
		})
	}
	t.Setenv("HOME", "")
	t.Setenv("XDG_DATA_HOME", "")
	if got, err := defaultFolder(); err == nil {
		t.Errorf("without a home the folder is %q, want an error that names --data", got)
	}
}
