package main

import (
	"bytes"
	"context"
	"errors"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store"
	"shaftbook/exercises/store/open"
	"shaftbook/exercises/store/sqlite"
	"shaftbook/web/app/sharing"
)

func runShares(args ...string) (string, error) {
	var out bytes.Buffer
	err := run(context.Background(), append([]string{"shares"}, args...), &out)
	return out.String(), err
}

// Whoever runs the server lists the links and withdraws them, by ID or by the address
// that was shared, while the server has the store open.
func TestShares(t *testing.T) {
	folder := t.TempDir()
	s, err := open.Store(t.Context(), sqlite.FileIn(folder))
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	if out, err := runShares("list", "--data", folder); err != nil || out != "no links\n" {
		t.Errorf("of none it said %q, %v", out, err)
	}
	if err := s.AddPerson(t.Context(), class.Person{ID: "PERSON", Name: "Student 01", SignIn: "s01", MadeAt: time.Now()}); err != nil {
		t.Fatal(err)
	}
	links := sharing.NewLinks(s, time.Now, false, nil)
	var secrets, ids []string
	for _, c := range []struct{ learner, name, length string }{
		{"COOKIE-OF-A-BROWSER", "The quill", "never"}, {"PERSON", "A\x1b[31m lay shaft", "day"}, {"PERSON", "Third", "week"},
	} {
		p := store.Page{ID: c.name, Name: c.name, Kind: store.KindPage, Text: "x", ChangedAt: time.Now()}
		if err := s.AddPage(t.Context(), c.learner, p, 10); err != nil {
			t.Fatal(err)
		}
		secret, made, err := links.Share(t.Context(), c.learner, c.name, c.length, "")
		if err != nil {
			t.Fatal(err)
		}
		secrets, ids = append(secrets, secret), append(ids, made.ID)
	}
	if err := s.DeletePage(t.Context(), "PERSON", "Third", time.Now()); err != nil {
		t.Fatal(err)
	}
	out, err := runShares("list", "--data", folder)
	if err != nil || strings.Count(out, "\n") != 4 {
		t.Fatalf("it said\n%s%v", out, err)
	}
	for _, piece := range append(ids, "never", "no account", "Student 01 (s01)", "The quill", "lay shaft", "Third (deleted") {
		if !strings.Contains(out, piece) {
			t.Errorf("no %q in\n%s", piece, out)
		}
	}
	for _, secret := range append(secrets, "COOKIE", "\x1b") {
		if strings.Contains(out, secret) {
			t.Errorf("%q is in\n%s", secret, out)
		}
	}
	works := func(n int, want bool) {
		t.Helper()
		if _, _, err := links.Open(t.Context(), secrets[n], "192.0.2.7"); (err == nil) != want || err != nil && !errors.Is(err, class.ErrNone) {
			t.Errorf("link %d: %v", n, err)
		}
	}
	if out, err := runShares("withdraw", ids[0], "--data", folder); err != nil || out != "1 link withdrawn\n" {
		t.Errorf("it said %q, %v", out, err)
	}
	works(0, false)
	works(1, true)
	if _, err := runShares("withdraw", "https://twist.example/shared/"+secrets[1], "--data", folder); err != nil {
		t.Error(err)
	}
	works(1, false)
	if _, err := runShares("withdraw", ids[0], "--data", folder); err == nil || !strings.Contains(err.Error(), "there is no link "+ids[0]) {
		t.Errorf("once more: %v", err)
	}
	if err := s.BringBackPage(t.Context(), "PERSON", "Third", 10); err != nil {
		t.Fatal(err)
	}
	works(2, true)
	if out, err := runShares("withdraw", "--all", "--data", folder); err != nil || out != "1 link withdrawn\n" {
		t.Errorf("it said %q, %v", out, err)
	}
	works(2, false)
}

func TestSharesRefuses(t *testing.T) {
	folder := t.TempDir()
	for name, c := range map[string]struct {
		args  []string
		usage bool
	}{
		"nothing": {nil, true}, "an unknown word": {[]string{"show"}, true}, "list with a link": {[]string{"list", "ID"}, true},
		"withdraw without": {[]string{"withdraw"}, true}, "withdraw both": {[]string{"withdraw", "--all", "ID"}, true},
		"two stores": {[]string{"list", "--store", "a.db", "--data", "b"}, true},
		"no store":   {[]string{"list", "--data", folder}, false},
	} {
		if _, err := runShares(c.args...); err == nil || errors.Is(err, errUsage) != c.usage {
			t.Errorf("%s: %v", name, err)
		}
	}
	if made, _ := filepath.Glob(filepath.Join(folder, "*")); len(made) > 0 {
		t.Errorf("it made %q", made)
	}
}
