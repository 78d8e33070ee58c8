package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

type fullDisk struct{}

var errNoRoom = errors.New("no room")

func (fullDisk) Write([]byte) (int, error) { return 0, errNoRoom }

// What could not be written is an error, not a success without output.
func TestOutputThatCannotBeWritten(t *testing.T) {
	lessons := t.TempDir()
	write(t, filepath.Join(lessons, "quill.md"), "# The quill\n\nText.\n")
	for _, args := range [][]string{
		{"check", lessons},
		{"calc", filepath.Join("testdata", "taper.calc")},
		{"calc", "--json", filepath.Join("testdata", "quill.md")},
		{"calc", filepath.Join("testdata", "faults.calc")},
		{"calc", filepath.Join("testdata", "taper.derive")},
	} {
		err := run(context.Background(), args, fullDisk{})
		if !errors.Is(err, errNoRoom) || status(err) != 1 {
			t.Errorf("%v: %v, status %d", args, err, status(err))
		}
	}
}

func write(t *testing.T, file, text string) {
	t.Helper()
	if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
}

// A file of somebody else does not act on the terminal: a title that is set, a line
// that is wiped, text that runs the other way.
func TestControlCharactersAreMadeVisible(t *testing.T) {
	file := filepath.Join(t.TempDir(), "odd.calc")
	write(t, file, "x = 2 \x1b]0;mine\a mm\ny = 3 \u009b2J kg\nz = \"\u202e\" + 1\nw = \xff 1\tkg\n")
	for _, args := range [][]string{{"calc", file}, {"calc", "--json", file}} {
		var out bytes.Buffer
		if err := run(context.Background(), args, &out); err != nil && !errors.Is(err, errFailed) {
			t.Fatal(err)
		}
		if strings.ContainsAny(out.String(), "\x1b\a\u009b\u202e\r\x7f") {
			t.Errorf("%v prints control characters:\n%q", args, out.String())
		}
		if args[1] != "--json" {
			if !strings.Contains(out.String(), "␛]0;mine␇") {
				t.Errorf("the characters are not shown:\n%s", out.String())
			}
			continue
		}
		for line := range strings.Lines(out.String()) {
			if !json.Valid([]byte(line)) {
				t.Errorf("no JSON: %s", line)
			}
		}
	}
}

func TestTooLongForACell(t *testing.T) {
	folder := t.TempDir()
	text := strings.Repeat("x = 1 mm\n", 8000)
	for _, name := range []string{"long.calc", "long.derive"} {
		file := filepath.Join(folder, name)
		write(t, file, text)
		var out bytes.Buffer
		err := run(context.Background(), []string{"calc", file}, &out)
		if err == nil || !strings.Contains(err.Error(), "at most 64") || out.Len() > 0 {
			t.Errorf("%s: %v\n%.100s", name, err, out.String())
		}
	}
	file := filepath.Join(folder, "long.md")
	write(t, file, "# Long\n\n```calc\n"+text+"```\n")
	for _, form := range []string{"--json=false", "--json"} {
		var out bytes.Buffer
		err := run(context.Background(), []string{"calc", form, file}, &out)
		if !errors.Is(err, errFailed) || !strings.Contains(out.String(), "split it into several cells") ||
			strings.HasPrefix(out.String(), "   0") || strings.Contains(out.String(), `"line":0`) {
			t.Errorf("%v\n%.300s", err, out.String())
		}
	}
}
