package proofread

import (
	"context"
	"errors"
	"strings"
	"testing"
	"testing/fstest"

	"shaftbook/kernel/source"
	"shaftbook/lessons"
)

func folder(texts map[string]string) fstest.MapFS {
	files := fstest.MapFS{}
	for name, text := range texts {
		files[name+".md"] = &fstest.MapFile{Data: []byte("---\ntitle: " + name + "\nsummary: A shaft.\nminutes: 1\norder: " + string(rune('0'+len(name))) + "\n---\n\n" + text + "\n")}
	}
	return files
}

// A trial checks lessons when the test lets it.
type trial struct {
	s     *Service
	began chan string
	end   chan source.List
}

func newTrial(t *testing.T, c *lessons.Current) *trial {
	t.Helper()
	tr := &trial{began: make(chan string), end: make(chan source.List)}
	tr.s = New(c, func(*lessons.Lesson) bool { return true }, func(ctx context.Context, l *lessons.Lesson) (source.List, error) {
		tr.began <- l.Slug
		select {
		case list := <-tr.end:
			return list, nil
		case <-ctx.Done():
			return nil, ctx.Err()
		}
	})
	ctx, cancel := context.WithCancel(t.Context())
	done := make(chan struct{})
	go func() { tr.s.Run(ctx); close(done) }()
	t.Cleanup(func() { cancel(); <-done })
	return tr
}

func fault(l *lessons.Lesson, words string) source.List {
	var list source.List
	list.Addf(source.Span{Text: l.Text, Start: 1, End: 2}, "test", "%s", words)
	return list
}

func words(list source.List) string {
	var all []string
	for _, d := range list {
		all = append(all, d.Message)
	}
	return strings.Join(all, "; ")
}

func TestOnlyWhatHasChangedIsChecked(t *testing.T) {
	first, _ := lessons.Load(folder(map[string]string{"a": "A bar.", "bb": "See [x](none.md)."}))
	current := lessons.NewCurrent(first)
	a, b := first.Lessons[0], first.Lessons[1]
	tr := newTrial(t, current)
	ctx := t.Context()
	if slug := <-tr.began; slug != "a" {
		t.Fatalf("%s is checked first", slug)
	}
	f, news := tr.s.Of(ctx, b) // read, and to be checked next
	if !f.Checking || f.Faults() != 1 || !strings.Contains(words(f.List), "there is no lesson none.md") {
		t.Errorf("of b, before it is checked: %+v", f)
	}
	tr.end <- nil
	<-news
	if f, _ := tr.s.Of(ctx, a); f.Checking || len(f.List) != 0 {
		t.Errorf("of a: %+v", f)
	}
	<-tr.began
	_, news = tr.s.Of(ctx, b)
	tr.end <- fault(b, "no such unit")
	<-news
	if f, _ := tr.s.Of(ctx, b); f.Checking || f.Faults() != 2 {
		t.Errorf("of b: %+v", f)
	}
	// b changes while nothing is checked, and again while it is checked.
	second, _ := lessons.LoadAgain(first, folder(map[string]string{"a": "A bar.", "bb": "A tube."}))
	current.Replace(second)
	if slug := <-tr.began; slug != "bb" {
		t.Fatalf("%s is checked, and has not changed", slug)
	}
	third, _ := lessons.LoadAgain(second, folder(map[string]string{"a": "A bar.", "bb": "A pipe."}))
	current.Replace(third)
	if slug := <-tr.began; slug != "bb" {
		t.Fatalf("%s is checked, and has not changed", slug)
	}
	_, news = tr.s.Of(ctx, third.Lessons[1])
	tr.end <- nil
	<-news
	all, _ := tr.s.All(ctx)
	if len(all) != 2 || all[0].Checking || all[1].Checking || len(all[1].List) > 0 {
		t.Errorf("all: %+v", all)
	}
}

// TestWhatCannotBeChecked says so, and is not checked again and again.
func TestWhatCannotBeChecked(t *testing.T) {
	first, _ := lessons.Load(folder(map[string]string{"a": "A bar."}))
	calls := make(chan struct{}, 10)
	s := New(lessons.NewCurrent(first), func(*lessons.Lesson) bool { return true }, func(context.Context, *lessons.Lesson) (source.List, error) {
		calls <- struct{}{}
		return nil, errors.New("a fault")
	})
	_, news := s.Of(t.Context(), first.Lessons[0])
	ctx, cancel := context.WithCancel(t.Context())
	done := make(chan struct{})
	go func() { s.Run(ctx); close(done) }()
	<-news
	if f, _ := s.Of(ctx, first.Lessons[0]); f.Checking || !strings.Contains(words(f.List), "could not be checked: a fault") {
		t.Errorf("%+v", f)
	}
	cancel()
	<-done
	if len(calls) != 1 {
		t.Errorf("checked %d times", len(calls))
	}
}
