package page

import (
	"context"
	"strings"
	"testing"

	"shaftbook/kernel"
	"shaftbook/kernel/source"
)

// rows evaluates a cell and returns its rows.
func rows(t *testing.T, text string) []string {
	t.Helper()
	w := kernel.NewWorking(kernel.Limits{})
	w.SetCells([]kernel.Cell{{ID: "calc-1", Kind: kernel.Calc, Text: source.NewText("", text)}})
	if err := w.Evaluate(context.Background(), nil); err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, r := range w.Results("calc-1") {
		row, err := NewRows(1<<20).Row("quill", &r)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, row)
	}
	return out
}

func TestRows(t *testing.T) {
	for _, c := range []struct {
		name, text  string
		row         int
		want, never []string
	}{
		{"a literal is its own result and says what it is", "T = 420 N·m", 0, []string{`class="row constant"`, `data-name="T"`, `data-value="420 N·m"`, `<span class="meaning">torque</span>`}, []string{"steps"}},
		{"a comment says what a name is", "T = 420 N·m # at the gear", 0, []string{`<span class="meaning">at the gear</span>`}, []string{">torque<"}},
		{"a name of no usual meaning", "q = 3 m²", 0, []string{`<span class="meaning"></span>`}, nil},
		{"a degree, as marks have it", "θ = 0.02 rad\nθ in deg", 1, []string{">1.146°<"}, []string{"1.146 deg"}},
		{"a formula has its result and its numbers", "T = 4 N·m\nL = 2 m\nU = T/L", 2,
			[]string{">2 N<", `class="steps"`, `<span class="equals">=</span>`}, nil},
		{"a check says holds, with its margin", "a = 3\nexpect a between 1 and 5", 1, []string{`class="holds"`, `class="margin"`}, nil},
		{"a check says fails", "a = 3\nexpect a < 2", 1, []string{`class="fails"`, `data-kind="expect"`}, nil},
		{"a slider and its field agree", "vary d from 24 mm to 72 mm by 1 mm starting at 48 mm", 0,
			[]string{`type="range"`, `type="number"`, `min="24" max="72" step="1" value="48"`, `aria-valuetext="48 mm"`, `data-shape="vary slider`}, nil},
		{"trials say where and how one more is written", "vary d from 24 mm to 72 mm by 1 mm starting at 48 mm\ny = 2·d\ntrials of y for d at 30 mm, 24 mm", 2,
			[]string{`data-slider="d" data-at="48" data-tried="24 30"`, `data-add="94" data-before=", " data-behind=" mm"`, `data-text=", 48 mm"`}, nil},
		{"trials that have none yet", "vary n from 1 to 40 starting at 4\ny = 2·n\ntrials of y for n", 2, []string{`data-tried="" data-add="59" data-before=" at " data-behind=""`}, nil},
		{"trials that fail have nothing to add to", "vary n from 1 to 40 starting at 4\ny = 1/(n − 4)\ntrials of y for n", 2, []string{`data-slider="n"`}, []string{"data-add", "data-at"}},
		{"an error stands under its exact piece", "x = 36 mm + 420 N·m", 0, []string{`class="message"`, `<code class="place">`, "<mark>"}, []string{"NaN"}},
		{"text is text, never markup", "a = <script>alert(1)</script>", 0, []string{"&lt;script&gt;"}, []string{"<script"}},
		{"a table scrolls in a named place", "table i, i^2 for i from 1 to 3", 0, []string{`tabindex="0" role="group" aria-label="Table"`, "<td>9</td>"}, nil},
		{"a figure has its drawing twice, its numbers and its downloads", "plot x^2 for x from 0 to 1", 0,
			[]string{`class="at-wide"`, `class="at-narrow"`, `data-part="data"`, `href="/lesson/quill/figure/calc-1/0/pdf"`}, []string{" style="}},
		{"a figure says what it shows", "plot x^2 for x from 0 to 1", 0,
			[]string{`<figcaption data-part="caption">x^2 along x`}, []string{"js-load"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			row := rows(t, c.text)[c.row]
			for _, want := range c.want {
				if !strings.Contains(row, want) {
					t.Errorf("the row lacks %q:\n%s", want, row)
				}
			}
			for _, never := range c.never {
				if strings.Contains(row, never) {
					t.Errorf("the row holds %q:\n%s", never, row)
				}
			}
		})
	}
}

func TestADrawingHasTheTablesOfItsDiagramsAndALoad(t *testing.T) {
	w := kernel.NewWorking(kernel.Limits{})
	w.SetCells([]kernel.Cell{
		{ID: "calc-1", Kind: kernel.Calc, Text: source.NewText("", "draw S\ndraw S twisted 20 times")},
		{ID: "shaft-1", Kind: kernel.Shaft, Name: "S", Text: source.NewText("", "G = 79 GPa\nsolid 36 mm for 800 mm\nhold at 0 mm\ntorque 420 N·m at 800 mm")},
	})
	if err := w.Evaluate(context.Background(), nil); err != nil {
		t.Fatal(err)
	}
	for i, wants := range [][]string{
		{"<caption>Shaft S: ", "<caption>internal torque</caption>", "<caption>twist</caption>", "<caption>greatest shear stress</caption>"},
		{`data-frames="/lesson/quill/figure/calc-1/1/frames"`, `<label for="calc-1-2-load">`, `min="0" max="100" step="5" value="100"`, "20 times"},
	} {
		row, err := NewRows(1<<20).Row("quill", &w.Results("calc-1")[i])
		if err != nil {
			t.Fatal(err)
		}
		for _, want := range wants {
			if !strings.Contains(row, want) {
				t.Errorf("row %d lacks %q", i, want)
			}
		}
	}
}

func TestMeasuredStationsBreakAtTheEdge(t *testing.T) {
	w := kernel.NewWorking(kernel.Limits{})
	w.SetCells([]kernel.Cell{{ID: "shaft-1", Kind: kernel.Shaft, Name: "S", Text: source.NewText("", "G = 79 GPa\nmeasured 0 mm: 36 mm, 90 mm: 38 mm\nhold at 0 mm")}})
	if err := w.Evaluate(context.Background(), nil); err != nil {
		t.Fatal(err)
	}
	row, err := NewRows(0).Row("quill", &w.Results("shaft-1")[0])
	if err != nil || strings.Count(row, `<span class="station">`) != 2 {
		t.Errorf("%v: the stations do not stand one by one:\n%s", err, row)
	}
}

func TestAFixIsAButtonWithPlacesInUTF16(t *testing.T) {
	row := rows(t, "T = 4 N·m\nL = 2 m\n𝑢 = 1\nU = 2·T L")[3]
	if !strings.Contains(row, `class="js-fix needs-js`) || !strings.Contains(row, "T·L") {
		t.Errorf("T L should offer T·L by a button:\n%s", row)
	}
}

func TestUnits(t *testing.T) {
	for _, c := range []struct {
		name, text, piece string
		from, to          int
	}{
		{"plain letters", "T = 4", "4", 4, 5},
		{"after a Greek letter of two bytes", "θ = 4", "4", 4, 5},
		{"a letter of four bytes counts two", "𝑢 = 4", "4", 5, 6},
		{"the piece itself", "a𝑢b", "𝑢", 1, 3},
	} {
		t.Run(c.name, func(t *testing.T) {
			at := strings.Index(c.text, c.piece)
			from, to := Units(source.Span{Text: source.NewText("", c.text), Start: at, End: at + len(c.piece)})
			if from != c.from || to != c.to {
				t.Errorf("[%d, %d), want [%d, %d)", from, to, c.from, c.to)
			}
		})
	}
	if from, to := Units(source.Span{Text: source.NewText("", "ab"), Start: 5, End: 9}); from != 2 || to != 2 {
		t.Errorf("a place beyond the end became [%d, %d)", from, to)
	}
}

// TestAChoiceOutsideTheRange: the field and the ear are told that a value kept from before
// does not fit the range.
func TestAChoiceOutsideTheRange(t *testing.T) {
	w := kernel.NewWorking(kernel.Limits{})
	w.SetCells([]kernel.Cell{{ID: "calc-1", Kind: kernel.Calc, Text: source.NewText("", "vary α from 0 deg to 5 deg by 1 deg")}})
	if err := w.Vary("α", 20); err != nil {
		t.Fatal(err)
	}
	if err := w.Evaluate(context.Background(), nil); err != nil {
		t.Fatal(err)
	}
	r := &w.Results("calc-1")[0]
	row, err := NewRows(1<<20).Row("quill", r)
	if want := `aria-describedby="calc-1-1-number-takes"><span class="takes" id="calc-1-1-number-takes">20° lies outside, 5° is used</span>`; err != nil || !strings.Contains(row, want) {
		t.Errorf("%v: the row lacks %q:\n%s", err, want, row)
	}
	if got := Spoken(r); got != "α: 20° lies outside, 5° is used" {
		t.Errorf("said: %q", got)
	}
}

// TestTrialsAreSaid: whoever listens hears what the trials give, and what they show.
func TestTrialsAreSaid(t *testing.T) {
	w := kernel.NewWorking(kernel.Limits{})
	w.SetCells([]kernel.Cell{{ID: "calc-1", Kind: kernel.Calc, Text: source.NewText("", "vary n from 1 to 40 starting at 4\ns_n = 1 m/n^2\ntrials of s_n for n at 1, 2, 4")}})
	if err := w.Evaluate(context.Background(), nil); err != nil {
		t.Fatal(err)
	}
	// 1/16 m, and 1/16 − 1/4 from the trial before; the changes fall with 1/n².
	want := "at n equals 4, s sub n 0.0625 m, change −0.188 m; 3 trials kept; slope of the change of s_n at each doubling against n: about −2.00, an estimate from 2 points only, which says nothing of its error"
	if got := Spoken(&w.Results("calc-1")[2]); got != want {
		t.Errorf("said: %q, want %q", got, want)
	}
}

// The head of a column stands over what is in it, and a dash in a column of numbers with them.
func TestHeadsStandOverTheirColumns(t *testing.T) {
	w := &rowWriter{r: &kernel.Result{}}
	w.table(&kernel.Table{
		Headers: []kernel.Header{{Label: "tolerance"}, {Label: "share"}},
		Rows:    [][]string{{"T between 1 and 2", "50.0"}, {"worst case", "–"}},
	})
	got := w.String()
	for _, want := range []string{
		`<th scope="col" class="words">tolerance`, `<th scope="col">share`, `<td class="words">worst case</td>`, `<td>–</td>`,
	} {
		if !strings.Contains(got, want) {
			t.Errorf("no %s in %s", want, got)
		}
	}
}
