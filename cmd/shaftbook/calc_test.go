package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "rewrite the golden files")

func TestCalc(t *testing.T) {
	tests := []struct {
		file string
		fail bool // the command ends with status 1
	}{
		{"taper.calc", false},
		{"faults.calc", true},
		{"shaft.md", true},
		{"taper.derive", true},
		{"quill.md", false},
	}
	for _, test := range tests {
		for _, form := range []struct {
			ext  string
			args []string
		}{{".txt", []string{"--all"}}, {".json", []string{"--json"}}} {
			t.Run(test.file+form.ext, func(t *testing.T) {
				var out bytes.Buffer
				args := append([]string{"calc", filepath.Join("testdata", test.file)}, form.args...)
				err := run(context.Background(), args, &out)
				if errors.Is(err, errFailed) != test.fail || err != nil && !errors.Is(err, errFailed) {
					t.Errorf("ended with %v", err)
				}
				golden(t, test.file+form.ext, out.Bytes())
			})
		}
	}
}

func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	file := filepath.Join("testdata", name)
	if *update {
		if err := os.WriteFile(file, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("%s differs; run with -update and read the difference\ngot:\n%s", file, got)
	}
}

// Each line of calc --json is an object with the fields that the notation
// promises, and si restores the float64.
func TestCalcJSONFields(t *testing.T) {
	var out bytes.Buffer
	if err := run(context.Background(), []string{"calc", "--json", "testdata/taper.calc"}, &out); err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(out.String()) {
		var object map[string]any
		if err := json.Unmarshal([]byte(line), &object); err != nil {
			t.Fatalf("%s: %v", line, err)
		}
		for _, field := range []string{"line", "name", "si", "low", "high", "dimension", "text", "error"} {
			if _, ok := object[field]; !ok {
				t.Errorf("%s has no field %q", line, field)
			}
		}
		if object["name"] == "T" && object["si"] != 420.0 {
			t.Errorf("si of T is %v, want 420", object["si"])
		}
		if object["name"] == "A" && (object["low"] == nil || object["high"] == nil) {
			t.Errorf("the bracket A has no ends: %s", line)
		}
	}
}

func TestWrongCalls(t *testing.T) {
	for _, args := range [][]string{{}, {"nothing"}, {"calc"}, {"calc", "a", "b"}, {"calc", "--what"}, {"check", "a", "b"}} {
		var out bytes.Buffer
		if err := run(context.Background(), args, &out); !errors.Is(err, errUsage) {
			t.Errorf("%q ended with %v, want a usage error", args, err)
		}
	}
	var out bytes.Buffer
	if err := run(context.Background(), []string{"calc", "testdata/none.calc"}, &out); status(err) != 1 {
		t.Errorf("a file that is not there ended with %v", err)
	}
}

func TestCheck(t *testing.T) {
	var out bytes.Buffer
	if err := run(context.Background(), []string{"check"}, &out); err != nil {
		t.Errorf("the built-in lessons: %v\n%s", err, out.String())
	}
	out.Reset()
	dir := t.TempDir()
	lesson := "---\ntitle: Wrong\norder: 1\nsummary: All wrong.\nminutes: 5\n---\n\nSee [there](nowhere.md).\n\n```calc\na = 36 mm + 1 N\nb = 2\nexpect b > 3\n```\n"
	if err := os.WriteFile(filepath.Join(dir, "wrong.md"), []byte(lesson), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := run(context.Background(), []string{"check", dir}, &out); !errors.Is(err, errFailed) {
		t.Errorf("a folder with faults ended with %v", err)
	}
	for _, want := range []string{"line 8", "nowhere.md", "line 11, column 5", "cannot add a force", "line 13", "does not hold", "3 faults in 1 lesson"} {
		if !strings.Contains(out.String(), want) {
			t.Errorf("the findings do not say %q:\n%s", want, out.String())
		}
	}
}
