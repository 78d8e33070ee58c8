package main

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"sync"
	"sync/atomic"
	"testing"

	"shaftbook/lessons"
	"shaftbook/web/app/assignment"
)

// costly is a lesson with what comes near to limits or above them: a sum of too
// many terms, and an exercise whose proof tries many numbers over an integral.
const costly = "---\ntitle: Costly\norder: 1\nsummary: A tapered bar.\nminutes: 5\n---\n\nA bar.\n\n" +
	"```calc\nS = sum of 1/i for i from 1 to 200000000\nf(n) = sum of 1/(i^2 + n) for i from 1 to 2000\nR = sum of f(n) for n from 1 to 1000\n```\n\n" +
	"```exercise taper\n" + `title: The tapered bar
given:
  T: {from: 240 N·m, to: 320 N·m, by: 10 N·m}
  L: {from: 0.6 m, to: 0.9 m, by: 0.05 m}
  d: 36 mm
  G: 79 GPa
ask: The twist of the far end
answer: integral of T/(G·π/32·(d·(1 + x/L))^4) for x from 0 m to L
unit: deg
bounds: {low: 0.05 deg, high: 20 deg}
` + "```\n"

// What check says, whether a lesson can be assigned and what an answer is given are
// the same on an idle machine and beside sixteen busy loops: nothing goes by the
// clock.
func TestVerdictsDoNotGoByTheClock(t *testing.T) {
	folder := t.TempDir()
	file := filepath.Join(folder, "costly.md")
	if err := os.WriteFile(file, []byte(costly), 0o600); err != nil {
		t.Fatal(err)
	}
	verdicts := func() map[string]string {
		said := map[string]string{}
		command := func(name string, args ...string) {
			var out bytes.Buffer
			if err := run(t.Context(), args, &out); err != nil && !errors.Is(err, errFailed) {
				t.Fatalf("%s: %v", name, err)
			}
			said[name] = out.String()
		}
		command("check", "check", folder)
		for _, answer := range []string{"0.3 deg", "T·L/(G·π/32·d^4)", "integral of T/(G·π/32·(d·(1 + x/L))^4) for x from 0 m to L"} {
			command("marking "+answer, "mark", file, "taper", "--learner", "Student 01", "--answer", answer)
		}
		catalog, _ := lessons.Load(os.DirFS(folder))
		c, err := assignment.NewFiles(lessons.NewCurrent(catalog)).Candidate(t.Context(), "costly")
		if err != nil {
			t.Fatal(err)
		}
		said["assigning"] = fmt.Sprintln(len(c.Exercises), "exercises")
		for _, f := range c.FaultLines() {
			said["assigning"] += f.Place + ": " + f.Message + "\n"
		}
		return said
	}
	idle := verdicts()
	var stop atomic.Bool
	var loops sync.WaitGroup
	for range 16 {
		loops.Go(func() {
			for x := 1.0; !stop.Load(); x *= 1.0000001 {
			}
		})
	}
	busy := verdicts()
	stop.Store(true)
	loops.Wait()
	for what, want := range idle {
		t.Logf("%s:\n%s", what, want)
		if busy[what] != want {
			t.Errorf("%s beside busy loops:\n%s\nalone:\n%s", what, busy[what], want)
		}
	}
	if len(busy) != len(idle) {
		t.Errorf("beside busy loops %v, alone %v", busy, idle)
	}
}
