package reference_test

import (
	"strings"
	"testing"
	"testing/fstest"

	"shaftbook/lessons/reference"
)

const (
	goodGlossary = "- word: angle\n  also: [lag, twist]\n  means: How far, $\\theta$.\n  see: [a.md#part, b.md]\n- word: Poisson’s ratio\n  means: >-\n    a\n    share\n"
	goodSymbols  = "groups:\n  - title: Loads\n    symbols:\n      - {symbol: T_in(x), means: a torque, unit: [N·m, lbf·in], see: a.md}\n      - {symbol: ν, means: a share}\n" +
		"materials:\n  - {name: steel, from: 75 GPa, to: 80 GPa}\n  - {name: nickel, from: 80 GPa, to: 80 GPa, note: pure}\nsources:\n  - {source: A book, what: all, memory: yes}\n"
	goodPaths = "- title: A week\n  for: You.\n  steps:\n    - {title: Monday, lessons: [a.md, b.md], note: Slowly.}\n    - {title: Tuesday, lessons: c.md}\n"
)

func folder(glossary, symbols, paths string) fstest.MapFS {
	files := fstest.MapFS{}
	for name, text := range map[string]string{reference.GlossaryFile: glossary, reference.SymbolsFile: symbols, reference.PathsFile: paths} {
		if text != "" {
			files[name] = &fstest.MapFile{Data: []byte(text)}
		}
	}
	return files
}

func TestRead(t *testing.T) {
	r, found := reference.Read(folder(goodGlossary, goodSymbols, goodPaths))
	for name, list := range found {
		t.Errorf("%s: %s", name, list[0].Render())
	}
	if len(r.Terms) != 2 || r.Terms[1].Means.Markdown != "a share" || r.Terms[1].ID() != "poissons-ratio" || strings.Join(r.Terms[0].Also, " ") != "lag twist" {
		t.Errorf("the terms are %+v", r.Terms)
	}
	if s := r.Groups[0].Symbols; len(s) != 2 || s[0].Expr == nil || len(s[0].Units) != 2 || len(s[1].Units) != 0 {
		t.Errorf("the symbols are %+v", r.Groups)
	}
	if m := r.Materials; len(m) != 2 || m[0].Range() != "75 GPa to 80 GPa" || m[1].Range() != "80 GPa" || !r.Sources[0].Memory {
		t.Errorf("the materials are %+v, of %+v", m, r.Sources)
	}
	if p := r.Paths; len(p) != 1 || len(p[0].Steps) != 2 || p[0].Steps[0].Note != "Slowly." || p[0].Steps[1].Lessons[0].Slug != "c" {
		t.Errorf("the paths are %+v", p)
	}
	if got := len(r.Places()); got != 6 {
		t.Errorf("%d places, want 6", got)
	}
	if r, found := reference.Read(fstest.MapFS{}); len(found) > 0 || len(r.Terms)+len(r.Groups)+len(r.Paths) > 0 {
		t.Errorf("an empty folder has %+v and %v", r, found)
	}
}

func TestFaultsHavePlaces(t *testing.T) {
	term := func(word string) string { return "- {word: " + word + ", means: m}\n" }
	symbol := func(rest string) string { return "groups: [{title: A, symbols: [{means: m, " + rest + "}]}]\n" }
	steel := func(range_ string) string {
		return symbol("symbol: T") + "sources: [{source: a, what: b}]\nmaterials:\n  - {name: steel, " + range_ + "}\n"
	}
	path := func(lessons string) string {
		return "- title: A\n  for: B\n  steps:\n    - title: C\n      lessons: " + lessons + "\n"
	}
	for _, c := range []struct{ name, glossary, symbols, paths, want string }{
		{"not YAML", "- word: [", "", "", "glossary.yaml entry-value “- word: [”: this cannot be read"},
		{"not UTF-8", "- word: \xff", "", "", "glossary.yaml reference-file “”: this file is not UTF-8"},
		{"too large", strings.Repeat("#", reference.MaxFile+1), "", "", "glossary.yaml reference-file “”: this file is larger than 256 kB"},
		{"not a list", "word: a", "", "", "glossary.yaml entry-value “word: a”: this cannot be a glossary"},
		{"an entry that is words", "- a", "", "", "glossary.yaml entry-value “a”: this cannot be an entry of the glossary"},
		{"without meaning", "- word: a", "", "", "glossary.yaml entry-key “word: a”: this entry of the glossary has no means"},
		{"an unknown key", "- word: a\n  means: b\n  sea: c.md", "", "", "glossary.yaml entry-key “sea”: an entry of the glossary has no key “sea”"},
		{"a key twice", "- word: a\n  word: b\n  means: c", "", "", "glossary.yaml entry-key “word”: a second word"},
		{"out of order", term("b") + term("a"), "", "", "glossary.yaml entry-order “{word: a, means: m}”: “a” is not in the order of the alphabet"},
		{"a word twice", term("a") + "- word: b\n  means: m\n  also: A", "", "", "glossary.yaml entry-order “word: b”: “A” stands with “a” too"},
		{"a place that is none", "- word: a\n  means: b\n  see: part", "", "", "glossary.yaml entry-value “part”: this cannot be the see of an entry"},
		{"a symbol that cannot be read", "", symbol("symbol: T +"), "", "symbols.yaml entry-value “T +”: this cannot be the symbol of an entry"},
		{"a unit that is none", "", symbol("symbol: T, unit: furlongs"), "", "symbols.yaml entry-value “furlongs”: this cannot be the unit of an entry"},
		{"a symbol twice", "", "groups: [{title: A, symbols: [{symbol: T, means: m}]}, {title: B, symbols: [{symbol: T, means: n}]}]", "", "symbols.yaml entry-order"},
		{"a modulus in metres", "", steel("from: 75 m, to: 80 GPa"), "", "symbols.yaml entry-value “75 m”: this cannot be the from of an entry"},
		{"a modulus without unit", "", steel("from: 75 GPa, to: 80"), "", "symbols.yaml entry-value “80”: this cannot be the to of an entry"},
		{"a range that runs back", "", steel("from: 8 GPa, to: 7999 MPa"), "", "symbols.yaml entry-value “{name: steel, from: 8 GPa, to: 7999 MPa}”: this range ends below its beginning"},
		{"materials without source", "", symbol("symbol: T") + "materials: [{name: a, from: 1 GPa, to: 2 GPa}]", "", "symbols.yaml entry-key “groups: [{title: A, symbols: [{means: m, symbol: T}]}]”: the shear moduli of the materials have no source"},
		{"a path to a heading", "", "", path("a.md#b"), "paths.yaml entry-value “a.md#b”: a path leads to whole lessons"},
		{"a lesson twice in a path", "", "", path("[a.md, a.md]"), "paths.yaml entry-order “a.md”: a is in this path twice"},
		{"a path twice", "", "", path("a.md") + path("b.md"), "paths.yaml entry-order “title: A”: a second path is called “A”"},
		{"a step without lessons", "", "", "- title: A\n  for: B\n  steps: [{title: C}]", "paths.yaml entry-key “{title: C}]”: this entry of the steps of a path has no lessons"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, found := reference.Read(folder(c.glossary, c.symbols, c.paths))
			var got []string
			for name, list := range found {
				for _, d := range list {
					if d.Repair == "" {
						t.Errorf("no way out of: %s", d.Message)
					}
					got = append(got, name+" "+string(d.Code)+" “"+d.Span.Text.Content[d.Span.Start:d.Span.End]+"”: "+d.Message)
				}
			}
			if len(got) != 1 || !strings.HasPrefix(got[0], c.want) {
				t.Errorf("got\n%s\nwant\n%s…", strings.Join(got, "\n"), c.want)
			}
		})
	}
}

// FuzzRead checks that whatever stands in the files, reading ends without panic and
// every place lies in its file.
func FuzzRead(f *testing.F) {
	f.Add(goodGlossary, goodSymbols, goodPaths)
	f.Add("- &a [*a]", "groups: &g [*g]\nmaterials: [{from: 1e999 GPa, to: -1 GPa}]", "- {title: [], steps: [{lessons: [[]]}]}")
	f.Fuzz(func(t *testing.T, glossary, symbols, paths string) {
		r, found := reference.Read(folder(glossary, symbols, paths))
		for name, list := range found {
			for _, d := range list {
				if d.Span.Text == nil || d.Span.Start < 0 || d.Span.End < d.Span.Start || d.Span.End > len(d.Span.Text.Content) {
					t.Fatalf("%s: %s: place %d to %d", name, d.Code, d.Span.Start, d.Span.End)
				}
				d.Render()
			}
		}
		for _, p := range r.Places() {
			if p.Slug == "" || p.At.Text == nil {
				t.Fatalf("a place without lesson or text: %+v", p)
			}
		}
		for _, m := range r.Materials {
			m.Range()
		}
	})
}
