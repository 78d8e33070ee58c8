package main

import (
	"bytes"
	"context"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store/sqlite"
	"shaftbook/web/app/attempt"
)

// runSheet writes a PDF and returns what was said and its text (pdftotext, of
// poppler-utils).
func runSheet(t *testing.T, args ...string) (said, text string) {
	t.Helper()
	file := filepath.Join(t.TempDir(), "out.pdf")
	var out bytes.Buffer
	if err := run(context.Background(), append(append([]string{"sheet"}, args...), "--out", file), &out); err != nil {
		t.Fatal(err)
	}
	read, err := exec.Command("pdftotext", "-raw", file, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	return strings.ReplaceAll(out.String(), file, "out.pdf"), string(read)
}

func TestSheetOfLearners(t *testing.T) {
	file := writeBar(t)
	said, text := runSheet(t, file, "--learners", "3")
	if said != "out.pdf: 3 sheets, 3 pages\n" {
		t.Errorf("it says %q", said)
	}
	pages := strings.Split(strings.TrimSuffix(text, "\f"), "\f")
	if len(pages) != 3 {
		t.Fatalf("%d pages", len(pages))
	}
	for i, learner := range []string{"Student 01", "Student 02", "Student 03"} {
		var v jsonVariant
		runJSON(t, &v, "variant", file, "bar", "--learner", learner, "--json")
		for _, wanted := range []string{learner, "T = " + v.Given[0].Text, "The twist of the far end", learner + " · page 1 of 1", "qualified people"} {
			if !strings.Contains(pages[i], wanted) {
				t.Errorf("page %d has no %q:\n%s", i+1, wanted, pages[i])
			}
		}
	}
	if strings.Contains(text, "bending for torsion") {
		t.Error("a problem sheet says what wrong turns give")
	}
}

func TestSheetOfAnswers(t *testing.T) {
	file := writeBar(t)
	var v jsonVariant
	runJSON(t, &v, "variant", file, "bar", "--learner", "Student 01", "--json")
	_, text := runSheet(t, file, "bar", "--learner", "Student 01", "--answers", "--paper", "Letter")
	for _, wanted := range []string{"Bar: answers", v.Given[0].Text + " · 0.8 m / (79 GPa · π/32·(36 mm)⁴)", "bending for torsion", "Can it be right?"} {
		if !strings.Contains(text, wanted) {
			t.Errorf("no %q in\n%s", wanted, text)
		}
	}
}

func TestSheetOfARoster(t *testing.T) {
	file := writeBar(t)
	list := filepath.Join(t.TempDir(), "mill.csv")
	if err := os.WriteFile(list, []byte("name,id,username\nStudent 01,u1,s01\nStudent 02,,s02\nStudent 03,,\nStudent 学,u4,s04\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	said, text := runSheet(t, file, "--roster", list)
	for _, wanted := range []string{"mill.csv:4: left out: ", "out.pdf: 3 sheets, 3 pages", "'学'"} {
		if !strings.Contains(said, wanted) {
			t.Errorf("no %q in %q", wanted, said)
		}
	}
	var v jsonVariant
	runJSON(t, &v, "variant", file, "bar", "--learner", "u1", "--json")
	if page, _, _ := strings.Cut(text, "\f"); !strings.Contains(page, "Student 01") || !strings.Contains(page, "T = "+v.Given[0].Text) {
		t.Errorf("the first page is not u1’s:\n%s", page)
	}
}

// A class on a server gets the numbers that the server sets.
func TestSheetOfAnAssignment(t *testing.T) {
	ctx, folder := context.Background(), t.TempDir()
	store, err := sqlite.Open(ctx, sqlite.FileIn(folder))
	if err != nil {
		t.Fatal(err)
	}
	at := time.Date(2026, 11, 25, 9, 0, 0, 0, time.UTC)
	given := class.Frozen{Hash: class.HashText(barLesson), Name: "bar.md", Text: barLesson}
	a := class.Assignment{ID: "A1", Class: "MILL", Title: "First bar", Lesson: "bar", Text: given.Hash, Opens: at, Due: at.Add(120 * time.Hour), Closes: at.Add(120 * time.Hour), Zone: "Europe/Oslo", Weight: 1, MadeAt: at, ChangedAt: at}
	none := class.Entry{}
	err = errors.Join(
		store.AddPerson(ctx, class.Person{ID: "I1", Name: "Instructor 1", SignIn: "teach1", Instructor: true, MadeAt: at}),
		store.AddPerson(ctx, class.Person{ID: "S1", Name: "Student 01", SignIn: "s01", MadeAt: at}),
		store.AddPerson(ctx, class.Person{ID: "S2", Name: "Student 02", SignIn: "s02", MadeAt: at}),
		store.AddClass(ctx, class.Class{ID: "MILL", Name: "Mill A", Zone: "UTC", MadeAt: at}, []string{"I1"}, nil, none),
		store.Enrol(ctx, nil, nil, []class.Member{{Class: "MILL", Person: "S1", Role: class.Student, Since: at}, {Class: "MILL", Person: "S2", Role: class.Student, Since: at, Left: true}}, none),
		store.AddAssignment(ctx, a, given, none),
	)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := attempt.NewService(ctx, store, "test"); err != nil { // which makes the key
		t.Fatal(err)
	}
	if err := store.Close(); err != nil {
		t.Fatal(err)
	}
	said, text := runSheet(t, "--assignment", "A1", "--data", folder)
	if said != "out.pdf: 1 sheet, 1 page\n" {
		t.Errorf("it says %q", said)
	}
	for _, wanted := range []string{"Student 01", "Mill A · due 30 November 2026, 10:00 CET", "First bar", "The twist of the far end"} {
		if !strings.Contains(text, wanted) {
			t.Errorf("no %q in\n%s", wanted, text)
		}
	}
	if _, again := runSheet(t, "--assignment", "A1", "--store", sqlite.FileIn(folder)); again != text {
		t.Error("the same assignment gives another sheet")
	}
	err = run(ctx, []string{"sheet", "--assignment", "A9", "--data", folder, "--out", filepath.Join(folder, "x.pdf")}, &bytes.Buffer{})
	if err == nil || !strings.Contains(err.Error(), "there is no assignment A9") {
		t.Errorf("an assignment that is not there: %v", err)
	}
}

func TestSheetRefusals(t *testing.T) {
	file := writeBar(t)
	out := filepath.Join(t.TempDir(), "out.pdf")
	for _, c := range []struct {
		name  string
		args  []string
		usage bool
		says  string
	}{
		{"nothing", nil, true, ""},
		{"no learner", []string{file, "--out", out}, true, ""},
		{"two ways", []string{file, "--learner", "a", "--learners", "2", "--out", out}, true, ""},
		{"no file to write", []string{file, "--learner", "a"}, true, ""},
		{"unknown paper", []string{file, "--learner", "a", "--paper", "a3", "--out", out}, true, ""},
		{"too many", []string{file, "--learners", "1000", "--out", out}, true, ""},
		{"fewer than none", []string{file, "--learners", "-1", "--out", out}, true, ""},
		{"a store for a file", []string{file, "--learner", "a", "--data", "x", "--out", out}, true, ""},
		{"an assignment of a file", []string{file, "--assignment", "A1", "--out", out}, true, ""},
		{"no such exercise", []string{file, "foo", "--learner", "a", "--out", out}, false, "it has bar"},
		{"no such file", []string{"none.md", "--learner", "a", "--out", out}, false, "none.md"},
		{"no such roster", []string{file, "--roster", "none.csv", "--out", out}, false, "none.csv"},
		{"no store", []string{"--assignment", "A1", "--data", t.TempDir(), "--out", out}, false, "there is no class in"},
		{"nowhere to write", []string{file, "--learner", "a", "--out", filepath.Join(out, "x.pdf")}, false, "x.pdf"},
	} {
		t.Run(c.name, func(t *testing.T) {
			err := run(context.Background(), append([]string{"sheet"}, c.args...), &bytes.Buffer{})
			if err == nil || errors.Is(err, errUsage) != c.usage || !strings.Contains(err.Error(), c.says) {
				t.Errorf("%v", err)
			}
			if _, err := os.Stat(out); err == nil {
				t.Error("a file was written")
			}
		})
	}
}

// A strict reader takes nothing before the head of a PDF (ISO 32000-1, 7.5.2).
func TestSheetBeginsWithItsHead(t *testing.T) {
	file := filepath.Join(t.TempDir(), "sheets.pdf")
	lesson := filepath.Join("..", "..", "lessons", "text", "uniform-shaft.md")
	if err := run(context.Background(), []string{"sheet", lesson, "--learners", "2", "--out", file}, io.Discard); err != nil {
		t.Fatal(err)
	}
	content, err := os.ReadFile(file)
	if err != nil || !bytes.HasPrefix(content, []byte("%PDF-1.")) {
		t.Errorf("the file begins with %.20q (%v)", content, err)
	}
}
