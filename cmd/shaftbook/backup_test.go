package main

import (
	"bytes"
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"shaftbook/exercises/store"
	"shaftbook/exercises/store/open"
	"shaftbook/exercises/store/sqlite"
)

// Last year's work is copied while the server has it open, and put into a new
// folder.
func TestBackupAndRestore(t *testing.T) {
	here, there := t.TempDir(), filepath.Join(t.TempDir(), "data")
	db, err := open.Store(context.Background(), sqlite.FileIn(here))
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	a := store.Attempt{Submission: "s1", Verdict: "right", Answer: "0.971 deg", Variant: json.RawMessage("{}"), At: time.Now(),
		Place: store.Place{Learner: "student-01", Lesson: "the-quill", Exercise: "exercise-1"}}
	if _, _, err := db.Submit(context.Background(), a, 3); err != nil {
		t.Fatal(err)
	}
	copied := filepath.Join(t.TempDir(), "copy.db")
	command := func(args ...string) (string, error) {
		var out bytes.Buffer
		err := run(context.Background(), args, &out)
		return out.String(), err
	}
	if out, err := command("backup", copied, "--data", here); err != nil || !strings.Contains(out, "attempts 1") {
		t.Fatalf("backup said %q, %v", out, err)
	}
	if out, err := command("restore", copied, "--data", there); err != nil || !strings.Contains(out, "attempts 1") {
		t.Fatalf("restore said %q, %v", out, err)
	}
	if _, err := command("verify", "--data", there); err != nil {
		t.Errorf("what was restored is not as it was written: %v", err)
	}
	if _, err := command("restore", copied, "--data", there); !errors.Is(err, store.ErrNotEmpty) || !strings.Contains(err.Error(), "--force") {
		t.Errorf("restoring over work: %v", err)
	}
	if out, err := command("restore", "--force", copied, "--data", there); err != nil || !strings.Contains(out, "kept as") {
		t.Errorf("restoring over work by force said %q, %v", out, err)
	}
	restored, err := open.Store(context.Background(), sqlite.FileIn(there))
	if err != nil {
		t.Fatal(err)
	}
	defer restored.Close()
	all, err := restored.Attempts(context.Background(), a.Learner, a.Lesson, a.Exercise)
	if err != nil || len(all) != 1 || all[0].Answer != a.Answer {
		t.Errorf("restored %+v, %v", all, err)
	}
}

func TestBackupAndRestoreRefuse(t *testing.T) {
	dir := t.TempDir()
	t.Setenv("HOME", filepath.Join(dir, "home"))
	t.Setenv("XDG_DATA_HOME", filepath.Join(dir, "usual"))
	lesson := filepath.Join(dir, "lesson.md")
	if err := os.WriteFile(lesson, []byte("# The quill\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name string
		args []string
		want string // in the error; empty for a wrong use
	}{
		{"no file", []string{"backup", "--data", dir}, ""},
		{"nothing in the usual folder", []string{"backup", filepath.Join(dir, "copy.db")}, "nothing was copied"},
		{"two stores", []string{"backup", "copy.db", "--data", dir, "--store", "x"}, ""},
		{"no copy", []string{"restore", filepath.Join(dir, "none.db")}, "nothing was changed"},
		{"a database server", []string{"backup", "copy.db", "--store", "postgres://db/marks"}, "pg_dump"},
		{"nothing to copy", []string{"backup", filepath.Join(dir, "copy.db"), "--data", dir}, "nothing was copied"},
		{"a lesson for a copy", []string{"restore", lesson, "--data", dir}, "not a shaftbook store"},
	} {
		t.Run(c.name, func(t *testing.T) {
			err := run(context.Background(), c.args, &bytes.Buffer{})
			if err == nil || c.want == "" && !errors.Is(err, errUsage) || !strings.Contains(err.Error(), c.want) {
				t.Errorf("%v, want %q", err, c.want)
			}
		})
	}
}

func TestVerifyCommand(t *testing.T) {
	folder := t.TempDir()
	db, err := open.Store(context.Background(), sqlite.FileIn(folder))
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	a := store.Attempt{Submission: "s1", Verdict: "right", Answer: "0.971 deg", Variant: json.RawMessage("{}"), At: time.Now(),
		Place: store.Place{Learner: "student-01", Lesson: "the-quill", Exercise: "exercise-1"}}
	if _, _, err := db.Submit(context.Background(), a, 3); err != nil {
		t.Fatal(err)
	}
	verified := func() (string, error) {
		var out bytes.Buffer
		err := run(context.Background(), []string{"verify", "--data", folder}, &out)
		return out.String(), err
	}
	if out, err := verified(); err != nil || !strings.Contains(out, "1 row as written, 0 damaged") {
		t.Errorf("%q, %v", out, err)
	}
	raw, err := sql.Open("sqlite", sqlite.FileIn(folder))
	if err != nil {
		t.Fatal(err)
	}
	defer raw.Close()
	if _, err := raw.Exec("UPDATE attempts SET points = 1"); err != nil {
		t.Fatal(err)
	}
	out, err := verified()
	if !errors.Is(err, errFailed) || !strings.Contains(out, "answer 1 of student-01 at exercise-1 in the-quill") {
		t.Errorf("%q, %v", out, err)
	}
	copied := filepath.Join(t.TempDir(), "copy.db")
	if err := run(context.Background(), []string{"backup", copied, "--data", folder}, &bytes.Buffer{}); !errors.Is(err, store.ErrDamaged) {
		t.Errorf("backup: %v", err)
	}
	if err := run(context.Background(), []string{"backup", "--damaged", copied, "--data", folder}, &bytes.Buffer{}); err != nil {
		t.Errorf("backup --damaged: %v", err)
	}
}
