package lessons

import (
	"slices"
	"testing"
	"testing/fstest"
)

func catalogOf(texts map[string]string) *Catalog {
	files := fstest.MapFS{}
	for name, text := range texts {
		files[name] = &fstest.MapFile{Data: []byte("---\ntitle: " + name + "\nsummary: A shaft.\nminutes: 1\norder: 1\n---\n\n" + text)}
	}
	c, _ := Load(files)
	return c
}

func TestReplace(t *testing.T) {
	first := catalogOf(map[string]string{"bar.md": "A bar.\n", "tube.md": "A tube.\n"})
	for _, c := range []struct {
		name  string
		texts map[string]string
		want  []string
	}{
		{"nothing", map[string]string{"bar.md": "A bar.\n", "tube.md": "A tube.\n"}, nil},
		{"another text", map[string]string{"bar.md": "A bar, turned.\n", "tube.md": "A tube.\n"}, []string{"bar"}},
		{"a new one", map[string]string{"bar.md": "A bar.\n", "tube.md": "A tube.\n", "step.md": "A step.\n"}, []string{"step"}},
		{"one is gone", map[string]string{"tube.md": "A tube.\n"}, []string{"bar"}},
		{"another name", map[string]string{"rod.md": "A bar.\n", "tube.md": "A tube.\n"}, []string{"bar", "rod"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			current := NewCurrent(first)
			var told []Change
			current.Tell(func(c Change) { told = append(told, c) })
			held := current.Hold(t.Context())
			next := catalogOf(c.texts)
			change := current.Replace(next)
			if !slices.Equal(change.Lessons, c.want) || change.Before != first || change.After != next {
				t.Errorf("changed: %v, want %v", change.Lessons, c.want)
			}
			if len(told) != 1 || !slices.Equal(told[0].Lessons, c.want) {
				t.Errorf("told: %v", told)
			}
			if current.In(held) != first {
				t.Error("a context that holds a catalog sees another one")
			}
			if current.In(t.Context()) != next || current.Now() != next {
				t.Error("the new catalog is not served")
			}
		})
	}
}

// TestHoldIsOfOne: two servers in one process hold each its own.
func TestHoldIsOfOne(t *testing.T) {
	a, b := NewCurrent(catalogOf(nil)), NewCurrent(catalogOf(nil))
	ctx := b.Hold(a.Hold(t.Context()))
	if a.In(ctx) != a.Now() || b.In(ctx) != b.Now() {
		t.Error("what is held for one is seen by the other")
	}
}
