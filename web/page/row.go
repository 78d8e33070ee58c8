package page

import (
	"bytes"
	"fmt"
	"html"
	"math"
	"strconv"
	"strings"

	"shaftbook/kernel"
	"shaftbook/kernel/figure"
	"shaftbook/kernel/lru"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/typeset"
	"shaftbook/kernel/words"
)

const longResult = 30 // characters; longer results take a line of their own

// Rows makes the rows of statements. Figures that were drawn are kept, so that
// a class that reads one lesson, or a slider that only moves points, does not
// draw the same thing again.
type Rows struct{ figures *figure.Cache }

// NewRows returns a maker of rows that keeps at most maxBytes of drawings.
func NewRows(maxBytes int) *Rows { return &Rows{figure.NewCache(maxBytes)} }

// Figures returns how the cache of figures is used.
func (rows *Rows) Figures() lru.Stats { return rows.figures.Stats() }

// Row returns the row of one statement: the formula, the result at the right,
// the chain with the numbers put in, and whatever else the statement makes.
//
// The parts that change from one evaluation to the next carry data-part; two
// rows with the same data-shape have the same parts, so that a script can
// change the parts in place.
func (rows *Rows) Row(lesson string, r *kernel.Result) (string, error) {
	w := &rowWriter{lesson: lesson, r: r, figures: rows.figures}
	w.row()
	return w.String(), w.err
}

type rowWriter struct {
	bytes.Buffer
	lesson  string
	r       *kernel.Result
	figures *figure.Cache
	err     error
}

func (w *rowWriter) put(pieces ...string) {
	for _, p := range pieces {
		w.WriteString(p)
	}
}

func (w *rowWriter) text(s string) { w.WriteString(html.EscapeString(s)) }

func (w *rowWriter) attr(name, value string) {
	w.put(" ", name, `="`, html.EscapeString(value), `"`)
}

// RowID is the id of a statement's row, for deep links.
func RowID(cell string, index int) string { return cell + "-" + strconv.Itoa(index+1) }

var kindNames = map[kernel.Kind]string{
	kernel.KindBad: "bad", kernel.KindValue: "value", kernel.KindFunction: "function", kernel.KindVary: "vary",
	kernel.KindExpect: "expect", kernel.KindTable: "table", kernel.KindPlot: "plot", kernel.KindDraw: "draw",
	kernel.KindPrefer: "prefer", kernel.KindShaft: "shaft", kernel.KindTrials: "trials",
}

func (w *rowWriter) row() {
	r := w.r
	numbers := ""
	if !r.Failed() {
		numbers = r.Numbers()
	}
	shape := w.shape(numbers != "")
	class := "row"
	switch {
	case w.isWide():
		class += " wide"
	case w.isGiven():
		class += " constant"
	}
	w.put(`<div class="`, class, `"`)
	w.attr("id", RowID(r.Cell, r.Index))
	w.attr("data-kind", kindNames[r.Kind])
	w.attr("data-shape", shape)
	w.attr("data-line", strconv.Itoa(w.line()))
	if r.Name != "" {
		w.attr("data-name", r.Name)
	}
	if n, ok := r.Node.(*notation.Draw); ok && n.Segments != nil {
		w.attr("data-shaft", n.Shaft.Ident)
	}
	if n, ok := r.Node.(*notation.Trials); ok {
		w.attr("data-slider", n.Var.Ident)
	}
	if r.Trials != nil {
		w.trialData(r.Trials)
	}
	if r.Name != "" && r.Text != "" && !r.Failed() {
		w.attr("data-value", plainValue(r.Text))
	}
	w.put(">")
	w.formula()
	if numbers != "" {
		w.steps(numbers)
	} else {
		w.result()
	}
	if r.Slider != nil {
		w.control(r.Slider)
	}
	if r.Trials != nil {
		w.trials(r.Trials)
	} else if r.Table != nil {
		w.table(r.Table)
	}
	if r.Figure != nil {
		w.figure(r.Figure)
	}
	w.messages()
	w.put("</div>")
}

// shape lists the parts of the row. A slider that has other ends is another
// slider; the same one must not be touched while it is dragged.
func (w *rowWriter) shape(numbers bool) string {
	r := w.r
	shape := kindNames[r.Kind]
	if numbers {
		shape += " numbers"
	}
	if s := r.Slider; s != nil {
		shape += fmt.Sprint(" slider ", s.Name, s.Min, s.Max, s.Step, s.Unit, s.Low, s.High, s.Free)
	}
	if r.Table != nil {
		shape += " table"
	}
	if r.Figure != nil {
		shape += " figure"
	}
	if movable(r.Figure) {
		shape += " load"
	}
	return shape
}

// isWide reports whether the formula needs the whole line.
func (w *rowWriter) isWide() bool {
	switch w.r.Kind {
	case kernel.KindFunction, kernel.KindTable, kernel.KindPlot, kernel.KindDraw, kernel.KindPrefer, kernel.KindBad, kernel.KindShaft, kernel.KindTrials:
		return true
	}
	return len([]rune(w.r.Text)) > longResult
}

// line is the line of the cell on which the statement starts, from 0.
func (w *rowWriter) line() int {
	s := w.r.Span
	if !s.IsValid() {
		return 0
	}
	return strings.Count(s.Text.Content[:min(s.Start, len(s.Text.Content))], "\n")
}

func (w *rowWriter) formula() {
	w.put(`<div class="formula" data-part="formula">`)
	defer w.put("</div>")
	switch n := w.r.Node.(type) {
	case *notation.ShaftCell:
		w.shaftLines(n)
	case *notation.Vary:
		w.put(typeset.MathML(n.Name, typeset.Options{}))
	default:
		if w.r.Kind == kernel.KindBad {
			w.text(w.r.Span.Content())
			return
		}
		w.put(w.r.Formula())
	}
}

func (w *rowWriter) result() { w.resultAs("output") }

func (w *rowWriter) resultAs(tag string) {
	r := w.r
	class := "result"
	if r.Verdict != nil {
		class += " verdict"
	}
	w.put("<", tag, ` class="`, class, `" data-part="result"`)
	if tag == "output" {
		w.put(` aria-live="off"`)
	}
	w.put(">")
	defer w.put("</", tag, ">")
	switch {
	case r.Cause != nil:
		w.waits(r.Cause)
	case r.Failed():
	case w.isGiven():
		w.put(`<span class="meaning">`)
		w.text(Meaning(r))
		w.put("</span>")
	case r.Verdict != nil:
		w.verdict(r.Verdict)
	case w.showsResult():
		w.shown()
	}
}

// isGiven reports whether the statement gives a name a number, which then is its own
// result: "T = 420 N·m". Several of them share a line.
func (w *rowWriter) isGiven() bool {
	d, ok := w.r.Node.(*notation.Define)
	if !ok || w.r.Failed() || len(w.r.Diagnostics) > 0 || w.r.Cause != nil || d.Display != (notation.Display{}) {
		return false
	}
	switch d.Expr.(type) {
	case *notation.Quantity, *notation.Number:
		return true
	}
	return false
}

// showsResult reports whether the result says more than the formula beside it:
// "T = 420 N·m" is its own result, a slider has its field, a table its rows.
func (w *rowWriter) showsResult() bool {
	switch w.r.Kind {
	case kernel.KindTable, kernel.KindPlot, kernel.KindDraw, kernel.KindVary, kernel.KindPrefer, kernel.KindTrials:
		return false
	}
	if d, ok := w.r.Node.(*notation.Define); ok && d.Display == (notation.Display{}) {
		switch d.Expr.(type) {
		case *notation.Quantity, *notation.Number:
			return false
		}
	}
	return true
}

// The marks of a check: a value between two limits, and a value beyond one.
const (
	markHolds = `<svg class="mark" viewBox="0 0 16 16" aria-hidden="true"><path d="M2 1v14M14 1v14M8 6.5v3M6.5 8h3"/></svg>`
	markFails = `<svg class="mark" viewBox="0 0 16 16" aria-hidden="true"><path d="M1 1v14M7 1v14M10 5l5 6M15 5l-5 6"/></svg>`
)

func (w *rowWriter) verdict(v *kernel.Verdict) {
	if v.Holds {
		w.put(`<span class="holds">`, markHolds, `holds</span>`)
	} else {
		w.put(`<span class="fails">`, markFails, `fails</span>`)
	}
	if v.Margin != "" {
		w.put(` <span class="margin">`)
		w.text(shown(v.Margin))
		w.put("</span>")
	}
}

// steps is the result, and under it, when it is pressed, the chain symbol = formula =
// numbers = result; the first two stand in the row already.
func (w *rowWriter) steps(numbers string) {
	w.put(`<details class="steps"><summary>`)
	w.resultAs("span") // a press on an output, which is a control, would open nothing
	w.put(`<span class="sr">, with numbers</span></summary>`)
	w.put(`<div class="chain" data-part="steps"><div><span class="equals">=</span> `, numbers, `</div><div><span class="equals">=</span> `)
	w.shown()
	w.put("</div>")
	if reason, is := w.r.Estimated(); is {
		w.put(`<p class="estimate">`)
		w.text("An estimate: " + reason + ".")
		w.put("</p>")
	}
	w.put("</div></details>")
}

// shown writes the value, with a mark before an estimate.
func (w *rowWriter) shown() {
	if _, is := w.r.Estimated(); is {
		w.put(`<span class="about" data-estimate><span aria-hidden="true">≈</span><span class="sr">about</span></span> `)
	}
	w.put(valueHTML(w.r.Text))
}

// leastRatio is from which greatest value on the slider of a count from 1 has
// logarithmic places: how good an approximation is goes by the ratio of its counts.
const leastRatio = 20

// outsideWords says that what a reader chose is not between the ends of the slider, and
// what is used in its place.
func outsideWords(s *kernel.Slider) string {
	return shown(s.Outside + " lies outside, " + s.Text + " is used")
}

func (w *rowWriter) control(s *kernel.Slider) {
	number := func(v float64) string { return strconv.FormatFloat(v, 'g', 12, 64) }
	id := RowID(w.r.Cell, w.r.Index)
	w.put(`<div class="control block js-slider" data-part="control"`)
	w.attr("data-name", s.Name)
	w.attr("data-spoken-unit", s.Unit)
	w.put(`><span class="track"><span aria-hidden="true">`)
	w.text(number(s.Min))
	w.put(`</span><input type="range" disabled autocomplete="off"`)
	bounds := func(low, high float64) {
		w.attr("min", number(low))
		w.attr("max", number(high))
		w.attr("step", number(s.Step))
		w.attr("value", number(s.Value))
	}
	bounds(s.Min, s.Max)
	if s.Whole && s.Min == 1 && s.Step == 1 && s.Max >= leastRatio {
		w.attr("data-scale", "ratio")
	}
	w.attr("aria-label", s.Name)
	w.attr("aria-valuetext", strings.TrimSpace(number(s.Value)+" "+s.Unit))
	w.put(`><span aria-hidden="true">`)
	w.text(number(s.Max))
	w.put(`</span></span><span class="number"><input type="number" disabled autocomplete="off"`)
	w.attr("id", id+"-number")
	low := s.Low
	if !s.Free { // a field counts its steps from its least value
		low = s.Min - math.Floor((s.Min-s.Low)/s.Step+1e-9)*s.Step
	}
	bounds(low, s.High)
	if s.Free {
		w.put(" data-free")
	}
	w.attr("aria-label", strings.TrimSpace(s.Name+" "+s.Unit))
	if s.Outside != "" {
		w.attr("aria-describedby", id+"-number-takes")
	}
	w.put(">")
	if s.Outside != "" {
		w.put(`<span class="takes"`)
		w.attr("id", id+"-number-takes")
		w.put(">")
		w.text(outsideWords(s))
		w.put("</span>")
	}
	w.put(` <span class="unit">`)
	w.text(s.Unit)
	w.put(`</span></span><small class="needs-no-js">The slider moves only with scripts on.</small></div>`)
}

func (w *rowWriter) table(t *kernel.Table) {
	w.openTable()
	w.put(`<table><thead><tr>`)
	rows := withOnePower(t.Marked())
	widest := fractions(rows, len(t.Headers))
	for i, h := range t.Headers {
		class := headClass(rows, widest[i])
		if h.Label != "" {
			w.put(`<th scope="col"`, class, `>`)
			w.text(h.Label)
		} else {
			// Read as words: what a screen reader makes of mathematics in the
			// head of each cell is tiresome at best.
			w.put(`<th scope="col"`, class, `><span class="sr">`)
			w.text(typeset.Spoken(h.Expr))
			w.put(`</span><span aria-hidden="true">`)
			w.put(typeset.MathML(h.Expr, typeset.Options{Style: typeset.Inline}))
			w.put("</span>")
		}
		if h.Unit != "" {
			w.put("\u00a0<span class=\"unit\">/\u00a0") // no line begins with the unit
			w.text(shown(h.Unit))
			w.put("</span>")
		}
		w.put("</th>")
	}
	w.put("</tr></thead><tbody>")
	w.cells(rows, widest, t.Step)
	w.put("</tbody></table></div>")
	if w.r.Segments != "" {
		w.tableFile()
	}
}

// openRow opens a row of a table. That of trials marks the one that the slider is at; of
// segments, one row can be reached with the Tab key, and segments.js goes on from it.
func (w *rowWriter) openRow(at int) {
	if w.r.Segments != "" {
		w.put(`<tr tabindex="`, strconv.Itoa(max(-1, -at)), `">`)
		return
	}
	if t := w.r.Trials; t == nil || t.Now != at {
		w.put("<tr>")
		return
	}
	w.put(`<tr class="now" aria-current="true">`)
}

// openTable opens the region of a table. A long one of segments scrolls in it, and says
// how long it is.
func (w *rowWriter) openTable() {
	w.put(`<div class="block scroll`)
	name := "Table"
	if s := w.r.Segments; s != "" {
		w.put(` segments js-segments`)
		name = "Segments of " + s + ", " + words.Count(len(w.r.Table.Rows), "row")
	}
	w.put(`" tabindex="0" role="group"`)
	w.attr("aria-label", name)
	if s := w.r.Segments; s != "" {
		w.attr("data-shaft", s)
	}
	w.put(` data-part="table">`)
}

// tableFile is the link to the numbers of a table in all their digits.
func (w *rowWriter) tableFile() {
	w.put(`<p class="block table-file"><a class="js-download"`)
	w.attr("href", FigurePath(w.lesson, w.r.Cell, w.r.Index, "csv"))
	w.attr("download", FigureName(w.lesson, w.r.Cell, w.r.Index, "csv"))
	w.put(`>CSV<span class="sr"> of this table</span></a></p>`)
}

// cellWork is what writing a cell of a table costs about, in the unit of package pause.
const cellWork = 2_000

// markHere is the mark of an estimate that stays on the line of its number.
var markHere = strings.ReplaceAll(kernel.Mark, " ", "\u00a0")

// A fraction is what the numbers of a column have behind their decimal sign, at most.
type fraction struct {
	is   bool // there is a number in the column
	text string
}

// headClass is the class of the head of a column: that of words stands over its words.
func headClass(rows [][]string, f fraction) string {
	if len(rows) == 0 || f.is {
		return ""
	}
	return ` class="words"`
}

// fractions returns those of the columns of a table, of which there are so many or more.
func fractions(rows [][]string, columns int) []fraction {
	for _, row := range rows {
		columns = max(columns, len(row))
	}
	widest := make([]fraction, columns)
	for _, row := range rows {
		for i, cell := range row {
			f, ok := fractionOf(cell)
			if !ok {
				continue
			}
			widest[i].is = true
			if len([]rune(f)) > len([]rune(widest[i].text)) {
				widest[i].text = f
			}
		}
	}
	return widest
}

// isBlank reports whether a cell stands for a value that there is none of.
func isBlank(cell string) bool { return cell == "" || cell == "–" || cell == "—" }

// cells writes the rows of a table. In a column of numbers the decimal signs stand one
// under the other: what a number has less behind it than the longest is left free.
func (w *rowWriter) cells(rows [][]string, widest []fraction, step func(work int64)) {
	for at, row := range rows {
		step(cellWork * int64(len(row)))
		w.openRow(at)
		for i, cell := range row {
			f, ok := fractionOf(cell)
			w.put("<td")
			if !ok && !(widest[i].is && isBlank(cell)) {
				w.put(` class="words"`)
			}
			w.put(">", valueHTML(strings.Replace(cell, kernel.Mark, markHere, 1)))
			if free := []rune(widest[i].text)[len([]rune(f)):]; ok && len(free) > 0 {
				w.put("<i")
				w.attr("data-free", string(free))
				w.put("></i>")
			}
			w.put("</td>")
		}
		w.put("</tr>")
	}
}
