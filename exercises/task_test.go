package exercises

import (
	"testing"

	"shaftbook/kernel/source"
)

func TestTask(t *testing.T) {
	const ask = "title: t\ngiven: {d: 40 mm}\n"
	for _, c := range []struct{ name, block, want string }{
		{"given", ask + "task: turned round\nask: J\nanswer: π/32·d^4\n", "turned round"},
		{"of a number, nothing", ask + "ask: J\nanswer: π/32·d^4\n", ""},
		{"of options", ask + "ask: Which?\nkind: pick\noptions: [{text: a, right: yes, says: x}, {text: b, says: y}]\n", "a choice"},
	} {
		e, list := Parse("t", source.NewText("block", c.block))
		if list.HasErrors() {
			t.Fatalf("%s: %v", c.name, list.Err())
		}
		if got := e.TaskOf(e.Structures[0]); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
	if _, list := Parse("t", source.NewText("block", ask+"task: puzzle\nask: J\nanswer: π/32·d^4\n")); !list.HasErrors() {
		t.Error("an unknown task is taken")
	}
}
