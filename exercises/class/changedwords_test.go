package class

import (
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// marked writes lines as "-old [word]", with brackets around what differs.
func marked(list []Line) string {
	var b strings.Builder
	for _, l := range list {
		b.WriteByte(l.Sign)
		for _, p := range l.Pieces {
			if p.Changed {
				b.WriteString("[" + p.Text + "]")
			} else {
				b.WriteString(p.Text)
			}
		}
		if l.Pieces == nil {
			b.WriteString(l.Text)
		}
		b.WriteByte('\n')
	}
	return b.String()
}

func TestChangedWords(t *testing.T) {
	for _, c := range []struct{ name, before, after, want string }{
		{"a word", "the shaft turns by 2 deg\n", "the shaft twists by 2 deg\n", "-the shaft [turns] by 2 deg\n+the shaft [twists] by 2 deg\n"},
		{"a number in a formula", "d = 40 mm\n", "d = 45 mm\n", "-d = [40] mm\n+d = [45] mm\n"},
		{"a word more", "by 2 deg\n", "by about 2 deg\n", "-by 2 deg\n+by [about ]2 deg\n"},
		{"another line", "one two three four\n", "five six seven eight\n", "-one two three four\n+five six seven eight\n"},
		{"two lines and two", "a 1\nb 2\n", "a 3\nb 4\n", "-a [1]\n-b [2]\n+a [3]\n+b [4]\n"},
		{"a line only taken out", "x\ny\n", "x\n", " x\n-y\n"},
		{"white space at the end", "a b \n", "a b\n", "-a b[ ]\n+a b\n"},
		{"letters beyond ASCII", "θ = T·L\n", "θ = T·a\n", "-θ = T·[L]\n+θ = T·[a]\n"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := marked(Changes(c.before, c.after, 3)); got != c.want {
				t.Errorf("got\n%swant\n%s", got, c.want)
			}
		})
	}
}

// The pieces of a line are the line, and those that are not marked are the same in both
// lines of a pair.
func TestPiecesAreTheLine(t *testing.T) {
	text := rapid.StringOfN(rapid.SampledFrom([]rune("ab θ1.\n")), 0, 60, -1)
	rapid.Check(t, func(t *rapid.T) {
		before, after := text.Draw(t, "before"), text.Draw(t, "after")
		kept := map[byte]string{}
		for _, l := range Changes(before, after, 1000) {
			all := ""
			for _, p := range l.Pieces {
				all += p.Text
				if !p.Changed {
					kept[l.Sign] += p.Text
				}
			}
			if l.Pieces != nil && all != l.Text {
				t.Fatalf("%q cut into %q", l.Text, all)
			}
		}
		if kept['-'] != kept['+'] {
			t.Fatalf("kept %q and %q", kept['-'], kept['+'])
		}
	})
}
