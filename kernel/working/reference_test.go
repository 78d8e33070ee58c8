package working_test

import (
	"fmt"
	"os"
	"regexp"
	"strings"
	"testing"

	"shaftbook/kernel/check"
	"shaftbook/kernel/source"
	"shaftbook/kernel/working"
)

// The reference of the notation promises that its examples work. Each example
// is a fenced block of its own; shaft blocks belong to the calc block right
// after them, with no text between. A line that ends in "# → text" promises what is displayed.
func TestReferenceExamples(t *testing.T) {
	content, err := os.ReadFile("../notation/README.md")
	if err != nil {
		t.Fatal(err)
	}
	var shafts []working.Cell
	end := 0
	for _, b := range fencedBlocks(string(content)) {
		if b.line > end+3 { // more than the fences and an empty line
			shafts = nil
		}
		end = b.line + strings.Count(b.text, "\n")
		text := &source.Text{Name: "README.md", Content: b.text, FirstLine: b.line}
		kind, name, _ := strings.Cut(b.info, " ")
		if kind == "shaft" {
			shafts = append(shafts, working.Cell{ID: "shaft-" + name, Kind: working.Shaft, Name: strings.TrimSpace(name), Text: text})
			continue
		}
		if kind != "calc" {
			continue
		}
		cells := append(shafts, working.Cell{ID: "calc", Kind: working.Calc, Text: text})
		shafts = nil
		t.Run(fmt.Sprintf("line %d", b.line), func(t *testing.T) { checkExample(t, cells) })
	}
}

func checkExample(t *testing.T, cells []working.Cell) {
	w := newWorking(t, cells...)
	for _, c := range cells {
		for _, r := range w.Results(c.ID) {
			if d := r.Diagnostics.FirstError(); d != nil {
				t.Errorf("%s", d.Render())
				continue
			}
			if r.Verdict != nil && !r.Verdict.Holds {
				t.Errorf("line %d does not hold: %s", r.Span.Position().Line, r.Verdict.Margin)
			}
			_, promised, ok := strings.Cut(r.Span.Line(), "# → ")
			if ok && r.Kind != working.KindShaft && r.Text != strings.TrimSpace(promised) {
				t.Errorf("line %d shows %q, and the reference promises %q", r.Span.Position().Line, r.Text, promised)
			}
		}
	}
}

type block struct {
	info, text string
	line       int // of the first line inside
}

func fencedBlocks(content string) []block {
	var blocks []block
	var open *block
	for i, line := range strings.Split(content, "\n") {
		switch {
		case open == nil && strings.HasPrefix(line, "```"):
			open = &block{info: strings.TrimSpace(line[3:]), line: i + 2}
		case open != nil && strings.HasPrefix(line, "```"):
			blocks = append(blocks, *open)
			open = nil
		case open != nil:
			open.text += line + "\n"
		}
	}
	return blocks
}

// The reference lists every field that a shaft has, and no other.
func TestReferenceFields(t *testing.T) {
	content, err := os.ReadFile("../notation/README.md")
	if err != nil {
		t.Fatal(err)
	}
	listed := map[string]bool{}
	for _, m := range regexp.MustCompile("`S\\.(\\w+(?:\\(\\w(?:, \\w)?\\))?)`").FindAllStringSubmatch(string(content), -1) {
		listed[m[1]] = true
	}
	for _, f := range check.FieldForms {
		form := f.Name
		if f.Arg != "" {
			form += "(" + f.Arg + ")"
		}
		if !listed[form] {
			t.Errorf("the reference does not list S.%s", form)
		}
		delete(listed, form)
	}
	for form := range listed {
		t.Errorf("the reference lists S.%s, which no shaft has", form)
	}
}
