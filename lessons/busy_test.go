package lessons

import (
	"io/fs"
	"sync"
	"sync/atomic"
	"testing"

	"shaftbook/lessons/text"
)

// What check says of a lesson is the same on an idle machine and beside sixteen busy
// loops: nothing in it goes by the clock.
func TestCheckDoesNotGoByTheClock(t *testing.T) {
	catalog, _ := Load(fs.FS(text.Files))
	var with *Lesson // the shortest lesson with an exercise
	for _, l := range catalog.Lessons {
		if len(l.CellsOf(Exercise)) > 0 && (with == nil || len(l.Text.Content) < len(with.Text.Content)) {
			with = l
		}
	}
	check := func() string {
		list, err := Check(t.Context(), with, false)
		if err != nil {
			t.Fatal(err)
		}
		said := ""
		for _, d := range list {
			said += string(d.Code) + " " + d.Error() + "\n"
		}
		return said
	}
	idle := check()
	var stop atomic.Bool
	var group sync.WaitGroup
	for range 16 {
		group.Go(func() {
			for x := 1.0; !stop.Load(); x *= 1.0000001 {
			}
		})
	}
	busy := check()
	stop.Store(true)
	group.Wait()
	if busy != idle {
		t.Errorf("%s: beside busy loops\n%s\nbut alone\n%s", with.Slug, busy, idle)
	}
}
