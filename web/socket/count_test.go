package socket

import (
	"context"
	"errors"
	"testing"
)

func TestCount(t *testing.T) {
	person, all := Limit{"person P", 2}, Limit{"all", 3}
	var c Count
	for i, step := range []struct {
		name  string
		enter []Limit
		full  string // or empty
	}{
		{"the first of a person", []Limit{all, person}, ""},
		{"the second", []Limit{all, person}, ""},
		{"a third of the same person", []Limit{all, person}, "person P"},
		{"one of another, since a refused one counts nowhere", []Limit{all, {"person Q", 2}}, ""},
		{"a fourth in all", []Limit{all, {"person Q", 2}}, "all"},
	} {
		if full, ok := c.Enter(step.enter...); full != step.full || ok != (step.full == "") {
			t.Errorf("%d, %s: full %q, let in %v, want %q", i, step.name, full, ok, step.full)
		}
	}
	c.Leave(all, person)
	if full, ok := c.Enter(all, person); !ok {
		t.Errorf("after one has left it is full: %q", full)
	}
}

func TestWait(t *testing.T) {
	var running Running
	running.Add(2)
	ended, end := context.WithCancel(t.Context())
	end()
	if err := running.Wait(ended); !errors.Is(err, context.Canceled) {
		t.Errorf("while something runs: %v", err)
	}
	running.Done()
	go running.Done()
	if err := running.Wait(t.Context()); err != nil {
		t.Errorf("when the last one ends: %v", err)
	}
	if err := running.Wait(ended); err != nil {
		t.Errorf("when nothing runs, although the time is up: %v", err)
	}
}
