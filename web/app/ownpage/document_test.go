package ownpage

import (
	"maps"
	"testing"

	"pgregory.net/rapid"

	"shaftbook/lessons"
)

func TestDocument(t *testing.T) {
	fresh := Read("").WithName("Quill θ").WithDerivation("θ = T\n  = ?").WithNumbers(map[string]string{"T": "420 N·m", "L": "800 mm"})
	const want = "# Quill θ\n\n```calc numbers\nL = 800 mm\nT = 420 N·m\n```\n\n```derive\nθ = T\n  = ?\n```\n"
	if fresh.Text() != want {
		t.Errorf("a new page is\n%s\nwant\n%s", fresh.Text(), want)
	}
	for _, c := range []struct {
		name, text, want string
		change           func(Document) Document
	}{
		{"renamed", want, "# B\n" + want[len("# Quill θ\n"):], func(d Document) Document { return d.WithName("B") }},
		{"without numbers", want, "# Quill θ\n\n```derive\nθ = T\n  = ?\n```\n", func(d Document) Document { return d.WithNumbers(nil) }},
		{"what else is there stays", "Words.\n\n# A\n\nMore.\n\n```derive twist\nx = 1\n```\n\n```calc\ny = 2\n```\nEnd.",
			"Words.\n\n# A\n\nMore.\n\n```derive twist\nz = 3\n```\n\n```calc\ny = 2\n```\nEnd.",
			func(d Document) Document { return d.WithDerivation("z = 3") }},
		{"a heading in a cell is a comment", "```derive\n# not a heading\nx = 1\n```\n", "# N\n\n```derive\n# not a heading\nx = 1\n```\n",
			func(d Document) Document { return d.WithName("N") }},
		{"a page without a derivation", "# A\n\nWords.", "# A\n\nWords.\n\n```derive\nx = 1\n```\n", func(d Document) Document { return d.WithDerivation("x = 1") }},
		{"a cell that is not closed", "# A\n\n```derive\nx = 1\n", "# A\n\n```derive\nx = 2\n```\n", func(d Document) Document { return d.WithDerivation("x = 2") }},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := c.change(Read(c.text)).Text(); got != c.want {
				t.Errorf("got\n%s\nwant\n%s", got, c.want)
			}
		})
	}
}

// Whatever is written, in whatever order, comes back as it was; a page is read as
// a lesson is, so its one derivation is a lesson's derivation.
func TestDocumentGivesBackWhatWasWritten(t *testing.T) {
	line := rapid.OneOf(rapid.StringMatching(`[-a-z0-9 =?#*_^$|~>\\\t]*`), rapid.StringMatching("`{0,6}[a-z ]{0,8}"),
		rapid.SampledFrom([]string{"~~~", "```derive", "```calc numbers", "# title", "---", "<b>", "θ = ∫_0^L 1/J dx"}))
	rapid.Check(t, func(t *rapid.T) {
		name := rapid.StringMatching(`[a-zA-Zθ*_#\\$|<>&0-9][ a-zA-Z*_#\\$|<>&0-9]{0,20}[a-z*#\\]`).Draw(t, "name")
		text := ""
		for i, l := range rapid.SliceOfN(line, 0, 6).Draw(t, "lines") {
			if i > 0 {
				text += "\n"
			}
			text += l
		}
		numbers := Sound(rapid.MapOf(rapid.StringMatching(`[a-zθ]_?[0-9]?`), rapid.StringMatching("[0-9a-zN·#=`. ]{0,12}")).Draw(t, "numbers"))
		d := Read("")
		steps := []func(){
			func() { d = d.WithName(name) }, func() { d = d.WithDerivation(text) }, func() { d = d.WithNumbers(numbers) },
		}
		for _, i := range rapid.Permutation([]int{0, 1, 2}).Draw(t, "order") {
			steps[i]()
		}
		if rapid.Bool().Draw(t, "again") {
			d = d.WithDerivation("other").WithName("other").WithNumbers(map[string]string{"q": "1"})
			d = d.WithNumbers(numbers).WithName(name).WithDerivation(text)
		}
		if d.Name() != name || d.Derivation() != text || !maps.Equal(d.Numbers(), numbers) {
			t.Fatalf("%q, %q, %v came back as %q, %q, %v from\n%s", name, text, numbers, d.Name(), d.Derivation(), d.Numbers(), d.Text())
		}
		l, _ := lessons.Parse("page.md", []byte(d.Text()))
		if n := len(l.CellsOf(lessons.Derive)); n != 1 {
			t.Fatalf("%d derivations in\n%s", n, d.Text())
		}
	})
}
