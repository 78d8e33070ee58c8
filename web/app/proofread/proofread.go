// Package proofread keeps what is to be mended in lessons while they are written: what
// reading them has found at once, and what checking them finds, which takes longer and is
// done behind, one lesson after another and only for those that have changed. It says the
// same as the command check. A Service begins at New; Run does the checking.
package proofread

import (
	"context"
	"slices"
	"sync"

	"shaftbook/kernel/source"
	"shaftbook/lessons"
)

// A Service keeps the findings of the lessons that are written. It is safe for concurrent
// use.
type Service struct {
	catalog *lessons.Current
	mine    func(*lessons.Lesson) bool
	check   func(context.Context, *lessons.Lesson) (source.List, error)

	mu      sync.Mutex
	checked map[*lessons.Lesson]source.List
	first   string             // the slug of the lesson that was asked for last: it is checked first
	running *lessons.Lesson    // being checked
	stop    context.CancelFunc // of that
	changed chan struct{}      // closed and replaced when something may be said otherwise
}

// New returns a service for the lessons of the catalog that mine reports. check looks at
// one lesson, as lessons.Check does; its error is that of its context, or a fault.
func New(catalog *lessons.Current, mine func(*lessons.Lesson) bool, check func(context.Context, *lessons.Lesson) (source.List, error)) *Service {
	s := &Service{catalog: catalog, mine: mine, check: check, checked: map[*lessons.Lesson]source.List{}, changed: make(chan struct{})}
	catalog.Tell(s.follow)
	return s
}

// Findings are what is to be said of one lesson.
type Findings struct {
	List     source.List // by their places
	Checking bool        // whether more may come: the lesson has not been checked yet
}

// Faults counts the findings that are not notes.
func (f *Findings) Faults() (n int) {
	for _, d := range f.List {
		if d.Severity == source.Error {
			n++
		}
	}
	return n
}

// Of returns what is to be said of a lesson, and has it checked before others. news is
// closed when it may have become something else.
func (s *Service) Of(ctx context.Context, l *lessons.Lesson) (f Findings, news <-chan struct{}) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.first = l.Slug
	return s.of(s.catalog.In(ctx), l), s.changed
}

// The caller holds mu.
func (s *Service) of(c *lessons.Catalog, l *lessons.Lesson) Findings {
	var f Findings
	for _, file := range c.Found {
		if file.Name == l.Text.Name && (file.Folder > 0) == l.Own {
			f.List = append(f.List, file.List...)
		}
	}
	list, done := s.checked[l]
	f.Checking = !done
	f.List = append(f.List, list...)
	f.List.Sort()
	return f
}

// A Written is one lesson that is written, with what is to be said of it.
type Written struct {
	Lesson *lessons.Lesson
	Findings
}

// All returns the lessons that are written, in the order of the catalog, and what is to be
// said of other files of theirs.
func (s *Service) All(ctx context.Context) (all []Written, files []lessons.FileDiagnostics) {
	s.mu.Lock()
	defer s.mu.Unlock()
	c := s.catalog.In(ctx)
	own := 0 // the folder of what is written
	said := map[string]bool{}
	for _, l := range c.Lessons {
		if s.mine(l) {
			all = append(all, Written{l, s.of(c, l)})
			said[l.Text.Name] = true
			if l.Own {
				own = 1
			}
		}
	}
	for _, f := range c.Found {
		if !said[f.Name] && f.Folder >= own {
			files = append(files, f)
		}
	}
	return all, files
}

// Is reports whether a lesson is one of those that are written.
func (s *Service) Is(l *lessons.Lesson) bool { return s.mine(l) }

// follow takes in that the catalog is another one.
func (s *Service) follow(c lessons.Change) {
	s.mu.Lock()
	defer s.mu.Unlock()
	for l := range s.checked {
		if !slices.Contains(c.After.Lessons, l) {
			delete(s.checked, l)
		}
	}
	if s.running != nil && !slices.Contains(c.After.Lessons, s.running) {
		s.stop()
	}
	s.tell()
}

// tell has everybody look again. The caller holds mu.
func (s *Service) tell() {
	close(s.changed)
	s.changed = make(chan struct{})
}

// Run checks what has to be checked until ctx ends.
func (s *Service) Run(ctx context.Context) {
	for ctx.Err() == nil {
		l, checking, news := s.next(ctx)
		if l == nil {
			select {
			case <-news:
			case <-ctx.Done():
			}
			continue
		}
		list, err := s.check(checking, l)
		s.mu.Lock()
		stopped := err != nil && checking.Err() != nil
		s.stop()
		s.running = nil
		if !stopped {
			if err != nil {
				list.Addf(source.Span{Text: l.Text}, lessons.CodeFile, "this lesson could not be checked: %s", err).Repair = "run shaftbook check"
			}
			if slices.Contains(s.catalog.Now().Lessons, l) {
				s.checked[l] = list
			}
			s.tell()
		}
		s.mu.Unlock()
	}
}

// next returns the lesson to check, or nil with what to wait for.
func (s *Service) next(ctx context.Context) (l *lessons.Lesson, checking context.Context, news <-chan struct{}) {
	s.mu.Lock()
	defer s.mu.Unlock()
	for _, other := range s.catalog.Now().Lessons {
		if _, done := s.checked[other]; done || !s.mine(other) {
			continue
		}
		if l == nil || other.Slug == s.first {
			l = other
		}
	}
	if l == nil {
		return nil, nil, s.changed
	}
	s.running = l
	checking, s.stop = context.WithCancel(ctx)
	return l, checking, nil
}
