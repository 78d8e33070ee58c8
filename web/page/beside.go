package page

import (
	"bytes"
	"html"
	"slices"
	"strings"

	"shaftbook/kernel"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/pattern"
	"shaftbook/kernel/typeset"
	"shaftbook/lessons"
)

// A Beside makes what stands in the margin beside the sections of a lesson: the sliders
// that move its results, and its symbols with what they mean and their values.
type Beside struct {
	all      []*kernel.Result // of the working, in the order of the lesson
	byName   map[string]*kernel.Result
	uses     map[string][]string // of each name, in its definition
	sections map[string]lessons.Section
	cells    map[string][]*kernel.Result
	cover    Cover
}

const (
	mostSymbols = 9 // that a section lists
	mostMoved   = 3 // results that are shown under a slider
)

// NewBeside reads the working of a lesson after its evaluation. Values that cover covers
// are blank.
func NewBeside(l *lessons.Lesson, working *kernel.Working, cover Cover) *Beside {
	b := &Beside{
		cover:  cover,
		byName: map[string]*kernel.Result{}, uses: map[string][]string{},
		sections: map[string]lessons.Section{}, cells: map[string][]*kernel.Result{},
	}
	for _, s := range l.Sections() {
		b.sections[s.ID] = s
	}
	for _, cell := range l.WorkingCells() {
		results := working.Results(cell.ID)
		for i := range results {
			r := &results[i]
			b.all = append(b.all, r)
			b.cells[cell.ID] = append(b.cells[cell.ID], r)
			name := r.Name
			if cell.Kind == kernel.Shaft {
				name = cell.Name
			}
			if name == "" || b.byName[name] != nil || !defines(r) {
				continue
			}
			b.byName[name] = r
			b.uses[name] = usesOf(r)
		}
	}
	return b
}

// defines reports whether a statement gives its name a meaning, rather than show it.
func defines(r *kernel.Result) bool {
	switch r.Kind {
	case kernel.KindValue, kernel.KindFunction, kernel.KindVary, kernel.KindShaft:
		return true
	}
	return false
}

func usesOf(r *kernel.Result) []string {
	if r.Node == nil || r.Kind == kernel.KindBad {
		return nil
	}
	var names []string
	for _, n := range notation.Uses(r.Node) {
		names = append(names, n.Ident)
	}
	return names
}

// HTML returns what stands beside the section of a heading; empty if there is nothing
// to say.
func (b *Beside) HTML(heading string) string {
	section := b.sections[heading]
	named := b.named(section)
	sliders, moved := b.moving(section, named)
	symbols := b.symbols(named, section)
	if len(sliders) == 0 && len(symbols) == 0 {
		return ""
	}
	var w bytes.Buffer
	what := "Symbols"
	if len(symbols) == 0 {
		what = "Slider"
	} else if len(sliders) > 0 {
		what = "Slider and symbols"
	}
	w.WriteString(`<div class="beside" role="group" aria-label="` + what + `"><details><summary>` + what + `</summary><div class="beside-box">`)
	for _, s := range sliders {
		b.hand(&w, s, moved[s.Name], b.bracketOf(moved[s.Name]), b.rowsMovedBy(s, section))
	}
	if len(symbols) > 0 {
		w.WriteString(`<dl class="symbols">`)
		for _, r := range symbols {
			w.WriteString(`<div><dt>` + nameHTML(r) + `</dt><dd>` + html.EscapeString(Meaning(r)))
			if r.Text != "" || r.Failed() {
				if Meaning(r) != "" {
					w.WriteString(", ")
				}
				b.valueOf(&w, r)
			}
			w.WriteString(`</dd></div>`)
		}
		w.WriteString(`</dl>`)
	}
	w.WriteString(`</div></details></div>`)
	return w.String()
}

// hand writes a slider with the results that it moves. hand.js adds what moves it,
// and docks the slider on a narrow window while one of the rows is in view.
func (b *Beside) hand(w *bytes.Buffer, s *kernel.Result, moved, bracket []*kernel.Result, rows []string) {
	w.WriteString(`<div class="hand js-hand" data-name="` + html.EscapeString(s.Name) + `" data-moves="` + html.EscapeString(strings.Join(rows, " ")) + `"><p class="hand-name"><span>` + nameHTML(s) + `</span> `)
	b.valueOf(w, s)
	w.WriteString(`</p><dl>`)
	for _, r := range moved {
		w.WriteString(`<div><dt>` + nameHTML(r) + `</dt><dd>`)
		b.valueOf(w, r)
		w.WriteString(`</dd></div>`)
	}
	if len(bracket) > 0 {
		w.WriteString(`<div><dt>bracket</dt><dd>`)
		for i, r := range bracket {
			if i > 0 {
				w.WriteString(" to ")
			}
			b.valueOf(w, r)
		}
		w.WriteString(`</dd></div>`)
	}
	w.WriteString(`</dl></div>`)
}

// valueText is a value as it is repeated; main.js writes the same.
func valueText(r *kernel.Result) string {
	if r.Failed() {
		return "no value"
	}
	return plainValue(r.Text)
}

func (b *Beside) valueOf(w *bytes.Buffer, r *kernel.Result) {
	open := `<span class="value-of" data-value-of="` + RowID(r.Cell, r.Index) + `">` + html.EscapeString(valueText(r)) + `</span>`
	w.WriteString(b.cover.cover(r, open, func(number int, _ string) string { return CoveredNumber(number, open) }))
}

func nameHTML(r *kernel.Result) string {
	switch n := r.Node.(type) {
	case *notation.Vary:
		return typeset.MathML(n.Name, typeset.Options{})
	case *notation.Define:
		return typeset.MathML(n.Name, typeset.Options{})
	}
	return html.EscapeString(r.Name)
}

// named returns the names that a section speaks of, in its cells and in the formulas of
// its text.
func (b *Beside) named(section lessons.Section) map[string]bool {
	named := map[string]bool{}
	for _, id := range section.Cells {
		for _, r := range b.cells[id] {
			if r.Name != "" {
				named[r.Name] = true
			}
			for _, name := range usesOf(r) {
				named[name] = true
			}
		}
	}
	for _, tex := range section.TeX {
		for _, name := range namesInTeX(tex) {
			named[name] = true
		}
	}
	return named
}

// symbols returns the statements elsewhere in the lesson that give the named ones their
// values, those first that are given, then those that follow from them.
func (b *Beside) symbols(named map[string]bool, section lessons.Section) []*kernel.Result {
	var given, others []*kernel.Result
	for _, r := range b.all {
		if !named[r.Name] || b.byName[r.Name] != r || r.Kind != kernel.KindValue || slices.Contains(section.Cells, r.Cell) {
			continue
		}
		d, ok := r.Node.(*notation.Define)
		if !ok {
			continue
		}
		switch d.Expr.(type) {
		case *notation.Quantity, *notation.Number:
			given = append(given, r)
		default:
			if Meaning(r) != "" {
				others = append(others, r)
			}
		}
	}
	all := append(given, others...)
	return all[:min(len(all), mostSymbols)]
}

// moving returns the sliders that a section names or on which its results depend, with
// those results that have a name and a number.
func (b *Beside) moving(section lessons.Section, named map[string]bool) (sliders []*kernel.Result, moved map[string][]*kernel.Result) {
	moved = map[string][]*kernel.Result{}
	for _, r := range b.all {
		if r.Kind == kernel.KindVary && named[r.Name] && b.byName[r.Name] == r {
			sliders = append(sliders, r)
		}
	}
	for _, id := range section.Cells {
		for _, r := range b.cells[id] {
			for _, s := range b.slidersOf(r) {
				if !slices.Contains(sliders, s) {
					sliders = append(sliders, s)
				}
				if r.Kind == kernel.KindValue && r.Name != "" && r.Text != "" && len(moved[s.Name]) < mostMoved {
					moved[s.Name] = append(moved[s.Name], r)
				}
			}
		}
	}
	return sliders, moved
}

// rowsMovedBy returns the rows of a section that follow from a slider: its results,
// checks, tables and figures.
func (b *Beside) rowsMovedBy(s *kernel.Result, section lessons.Section) []string {
	var rows []string
	for _, id := range section.Cells {
		for _, r := range b.cells[id] {
			if r != s && r.Kind != kernel.KindVary && r.Kind != kernel.KindFunction && slices.Contains(b.slidersOf(r), s) {
				rows = append(rows, RowID(r.Cell, r.Index))
			}
		}
	}
	return rows
}

// bracketOf returns the lower and the upper value between which a check of the lesson
// expects one of the results, if both move with a slider and are not among the results;
// nil if there is no such check.
func (b *Beside) bracketOf(results []*kernel.Result) []*kernel.Result {
	for _, check := range b.all {
		e, ok := check.Node.(*notation.Expect)
		if !ok {
			continue
		}
		x, low, high := b.definition(e.X), b.definition(e.Low), b.definition(e.High)
		if x == nil || low == nil || high == nil || !slices.Contains(results, x) || slices.Contains(results, low) || slices.Contains(results, high) {
			continue
		}
		if len(b.slidersOf(low)) > 0 && len(b.slidersOf(high)) > 0 {
			return []*kernel.Result{low, high}
		}
	}
	return nil
}

// definition returns the statement that defines a name which is all of an expression.
func (b *Beside) definition(e notation.Expr) *kernel.Result {
	name, ok := e.(*notation.Name)
	if !ok {
		return nil
	}
	if r := b.byName[name.Ident]; r != nil && r.Text != "" && !r.Failed() {
		return r
	}
	return nil
}

// slidersOf returns the sliders from which a statement follows.
func (b *Beside) slidersOf(r *kernel.Result) []*kernel.Result {
	var found []*kernel.Result
	seen := map[string]bool{}
	var follow func(names []string)
	follow = func(names []string) {
		for _, name := range names {
			from := b.byName[name]
			if seen[name] || from == nil {
				continue
			}
			seen[name] = true
			if from.Kind == kernel.KindVary {
				found = append(found, from)
				continue
			}
			follow(b.uses[name])
		}
	}
	if r.Kind == kernel.KindVary {
		return []*kernel.Result{r}
	}
	follow(usesOf(r))
	return found
}

// texName is a letter of TeX, one with an index, or a difference of one.
var texName = pattern.New(`(\\Delta ?)?(\\[A-Za-z]+|[A-Za-z])(_(?:\{(?:\\mathrm\{)?([A-Za-z0-9]+)\}?\}|([A-Za-z0-9])))?`)

// namesInTeX returns the names of the notation that a formula in the text speaks of.
func namesInTeX(tex string) []string {
	var names []string
	for _, m := range texName().FindAllStringSubmatch(tex, -1) {
		letter := m[2]
		if command, ok := strings.CutPrefix(letter, `\`); ok {
			if letter = notation.Canonical(command); letter == command {
				continue // not a letter
			}
		}
		if m[1] != "" {
			letter = "Δ" + letter
		}
		if index := m[4] + m[5]; index != "" {
			letter += "_" + index
		}
		names = append(names, letter)
	}
	return names
}
