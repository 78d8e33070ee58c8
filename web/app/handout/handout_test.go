package handout

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"shaftbook/exercises"
	"shaftbook/kernel/figure"
	"shaftbook/kernel/source"
	"shaftbook/lessons"
	"shaftbook/lessons/text"
)

var update = flag.Bool("update", false, "rewrite the golden files")

func quill(t testing.TB) *exercises.Exercise {
	t.Helper()
	block, err := os.ReadFile("testdata/quill.yaml")
	if err != nil {
		t.Fatal(err)
	}
	e, list := exercises.Parse("quill", source.NewText("quill.yaml", string(block)))
	if err := list.Err(); err != nil {
		t.Fatal(err)
	}
	return e
}

func drawn(t testing.TB, e *exercises.Exercise, learner string, answers bool) Problem {
	t.Helper()
	v, err := e.Variant(context.Background(), exercises.HeadlessKey, learner, 0)
	if err != nil {
		t.Fatal(err)
	}
	p, err := ForVariant(context.Background(), v, answers)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func quillSheet(t testing.TB, name string, answers bool) Handout {
	t.Helper()
	return Handout{
		Title: "On paper", Name: name, Class: "Mill A, Autumn", Due: "30 November 2026, 22:59 UTC", Answers: answers,
		Problems: []Problem{drawn(t, quill(t), name, answers)},
	}
}

func printed(t testing.TB, paper Paper, sheets ...Handout) ([]byte, Printed) {
	t.Helper()
	var out bytes.Buffer
	p, err := PDF(&out, paper, "On paper", sheets)
	if err != nil {
		t.Fatal(err)
	}
	return out.Bytes(), p
}

// poppler runs one of the tools of poppler on a PDF.
func poppler(t testing.TB, pdf []byte, tool string, args ...string) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "sheet.pdf")
	if err := os.WriteFile(file, pdf, 0o600); err != nil {
		t.Fatal(err)
	}
	args = append(args, file)
	if tool == "pdftotext" {
		args = append(args, "-")
	}
	out, err := exec.Command(tool, args...).CombinedOutput()
	if err != nil {
		t.Fatalf("%s (of poppler-utils): %v: %s", tool, err, out)
	}
	return string(out)
}

var blanks = regexp.MustCompile(`[ \t\f]+`)

// textIn is the text of a PDF in the order in which it is drawn.
func textIn(t testing.TB, pdf []byte) string {
	t.Helper()
	return strings.TrimSpace(blanks.ReplaceAllString(poppler(t, pdf, "pdftotext", "-raw"), " ")) + "\n"
}

func TestPDFGolden(t *testing.T) {
	for _, c := range []struct {
		name    string
		paper   Paper
		size    string
		answers bool
	}{
		{"sheet-a4", A4, "(A4)", false},
		{"answers-letter", Letter, "(letter)", true},
	} {
		t.Run(c.name, func(t *testing.T) {
			sheets := []Handout{quillSheet(t, "Student 01", c.answers), quillSheet(t, "Student 02", c.answers)}
			pdf, p := printed(t, c.paper, sheets...)
			if again, _ := printed(t, c.paper, sheets...); !bytes.Equal(pdf, again) {
				t.Error("the same sheets give two files")
			}
			info := poppler(t, pdf, "pdfinfo")
			if !strings.Contains(info, c.size) || !regexp.MustCompile(`Pages: +`+strconv.Itoa(p.Pages)+`\n`).MatchString(info) {
				t.Errorf("%d pages, %s; pdfinfo says\n%s", p.Pages, c.size, info)
			}
			if len(p.Missing) > 0 {
				t.Errorf("the fonts have no %s", string(p.Missing))
			}
			got := fmt.Sprintf("%d pages\n%s", p.Pages, textIn(t, pdf))
			file := filepath.Join("testdata", c.name+".txt")
			if *update {
				if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			if got != string(want) {
				t.Errorf("differs from %s; read the difference, look at the page, then run with -update. Got\n%s", file, got)
			}
		})
	}
}

// Signs of formulas are there to be read out, searched and copied, also where
// what is seen is made of something else.
func TestSignsComeThrough(t *testing.T) {
	pdf, _ := printed(t, A4, quillSheet(t, "Student 01", true))
	got := textIn(t, pdf)
	for _, sign := range []string{"θ", "π/32", "D⁴", "b⁴", "√(D·b)", "N·m", "40′", "⌀48", "10⁻⁷", "mm⁴", "418200"} {
		if !strings.Contains(got, sign) {
			t.Errorf("no %s in\n%s", sign, got)
		}
	}
	if strings.ContainsRune(got, unknown) {
		t.Error("an empty square stands for something")
	}
}

// 420·0.8/(79·10⁹·π/32·(0.048⁴ − 0.032⁴)) = 0.010170 rad = 0.5827°; the solid quill
// 0.4676°. By hand.
func TestProblemSheetSaysNoAnswer(t *testing.T) {
	for _, answers := range []bool{false, true} {
		pdf, _ := printed(t, A4, quillSheet(t, "Student 01", answers))
		got := textIn(t, pdf)
		for _, secret := range []string{"0.5827 deg", "0.4676 deg", "1.165 deg", "bore forgotten", "certainly below", "The two J subtract", "418200"} {
			if strings.Contains(got, secret) != answers {
				t.Errorf("answers %t, and %q in the text: %t", answers, secret, !answers)
			}
		}
		if strings.Contains(got, "Predict first") == answers {
			t.Errorf("answers %t, and the guesses are asked: %t", answers, answers)
		}
	}
}

var word = regexp.MustCompile(`<word xMin="([\d.-]+)" yMin="([\d.-]+)" xMax="([\d.-]+)" yMax="([\d.-]+)">(.*?)</word>`)

// TestEveryLessonFits prints every exercise of the embedded lessons and finds
// each word within the margins, and every letter in the fonts.
func TestEveryLessonFits(t *testing.T) {
	if testing.Short() {
		t.Skip("sets every lesson on paper")
	}
	shelf, found := lessons.Load(text.Files)
	if len(found) > 0 {
		t.Fatal(found)
	}
	for _, paper := range []Paper{A4, Letter} {
		var sheets []Handout
		for _, l := range shelf.Lessons {
			for _, learner := range []string{"Student 01", "Student 02", "Student 03"} {
				for _, answers := range []bool{false, true} {
					s := Handout{Title: l.Title, Name: learner, Answers: answers}
					for _, cell := range l.CellsOf(lessons.Exercise) {
						e, list := exercises.Parse(cell.Name, cell.Text)
						if err := list.Err(); err != nil {
							t.Fatal(err)
						}
						s.Problems = append(s.Problems, drawn(t, e, learner, answers))
					}
					sheets = append(sheets, s)
				}
			}
		}
		pdf, p := printed(t, paper, sheets...)
		if len(p.Missing) > 0 {
			t.Errorf("the fonts have no %s", string(p.Missing))
		}
		checkMargins(t, pdf, paper)
	}
}

func checkMargins(t *testing.T, pdf []byte, paper Paper) {
	t.Helper()
	words := 0
	for _, m := range word.FindAllStringSubmatch(poppler(t, pdf, "pdftotext", "-bbox"), -1) {
		words++
		var box [4]float64
		for i := range box {
			box[i], _ = strconv.ParseFloat(m[i+1], 64)
			box[i] *= point
		}
		if box[0] < marginLeft-1 || box[2] > paper.Width-marginRight+1 || box[1] < marginTop-3 || box[3] > paper.Height-6 {
			t.Errorf("%q reaches out of the page: %.1f", m[5], box)
		}
	}
	if words == 0 {
		t.Error("there is no word")
	}
}

func TestNamesThatAreHardToSet(t *testing.T) {
	for _, c := range []struct {
		name, learner string
		missing       string
	}{
		{"long", strings.Repeat("Student", 60), ""},
		{"long, with spaces", strings.Repeat("Student 01 ", 40), ""},
		{"Greek and Cyrillic", "Σπουδαστής 01, Студент", ""},
		{"letters the fonts have not", "学生 01 😀", "学生😀"},
		{"nobody", "", ""},
		{"signs of PDF", `(01) \ <</S>> endstream`, ""},
		{"control characters", "Student\x00\x1b01", "\x00\x1b"},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := quillSheet(t, "Student 01", false)
			s.Name = c.learner
			pdf, p := printed(t, A4, s)
			want := []rune(c.missing)
			slices.Sort(want)
			if string(p.Missing) != string(want) {
				t.Errorf("missing are %q, not %q", string(p.Missing), string(want))
			}
			checkMargins(t, pdf, A4)
			if got := textIn(t, pdf); c.learner == "" && !strings.Contains(got, "On paper · page 1 of") {
				t.Errorf("the foot names nothing:\n%s", got)
			}
		})
	}
}

func TestNothingToPrint(t *testing.T) {
	if _, err := PDF(&bytes.Buffer{}, A4, "On paper", nil); err == nil {
		t.Error("no sheet at all gives a file")
	}
	pdf, _ := printed(t, A4, Handout{Title: "On paper", Name: "Student 01"})
	if got := textIn(t, pdf); !strings.Contains(got, "Student 01") {
		t.Error(got)
	}
	pdf, _ = printed(t, A4, Handout{Title: "On paper", Problems: []Problem{Unset("The quill", fmt.Errorf("no numbers can be drawn"))}})
	if got := textIn(t, pdf); !strings.Contains(got, "no numbers can be drawn") {
		t.Error(got)
	}
}

func TestFlow(t *testing.T) {
	of := func(heights ...float64) group {
		var g group
		for _, h := range heights {
			g = append(g, block{height: h})
		}
		return g
	}
	for _, c := range []struct {
		name   string
		groups []group
		want   []int // blocks by page
	}{
		{"all on one", []group{of(10, 10), of(10)}, []int{3}},
		{"a group stays together", []group{of(30, 30), of(30, 30)}, []int{2, 2}},
		{"one that is too long is divided", []group{of(10), of(60, 60, 60)}, []int{2, 1, 1}},
		{"a block that is too high has a page", []group{of(10), of(150), of(10)}, []int{1, 1, 1}},
		{"nothing", nil, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			var got []int
			for _, page := range flow(c.groups, 100) {
				got = append(got, len(page))
			}
			if !slices.Equal(got, c.want) {
				t.Errorf("%v, not %v", got, c.want)
			}
		})
	}
}

// What is left of a page is shared out among its squares, in whole ones.
func TestStretched(t *testing.T) {
	field := func(x, y, height float64) {}
	for _, c := range []struct {
		name string
		page []block
		want []float64
	}{
		{"one field", []block{{height: 10}, {height: 55, field: field}, {height: 12}}, []float64{10, 75, 12}},
		{"the later one has the odd row", []block{{height: 30, field: field}, {height: 3}, {height: 30, field: field}}, []float64{45, 3, 50}},
		{"no field", []block{{height: 10}}, []float64{10}},
		{"no room", []block{{height: 100, field: field}, {height: 20}}, []float64{100, 20}},
	} {
		t.Run(c.name, func(t *testing.T) {
			var got []float64
			for _, b := range stretched(c.page, 100) {
				got = append(got, b.height)
			}
			if !slices.Equal(got, c.want) {
				t.Errorf("%g, not %g", got, c.want)
			}
		})
	}
}

// Lettering of figures has 0.9 of the size of the text.
func TestLetteringOfFigures(t *testing.T) {
	if ratio := 16 * figure.MillimetresPerUnit / (body.size * point); math.Abs(ratio-0.9) > 0.02 {
		t.Errorf("%.2f", ratio)
	}
}

func TestPowers(t *testing.T) {
	for plain, want := range map[string]string{
		"d^4": "d⁴", "x^-12 + y^−3": "x⁻¹² + y⁻³", "a^(1/4)": "a^(1/4)", "a^n": "a^n", "10^6·d_0^2": "10⁶·d_0²", "": "",
	} {
		if got := withPowers(plain); got != want {
			t.Errorf("%s becomes %s, not %s", plain, got, want)
		}
	}
}

// Whatever the words of an exercise are, they are set in boxes of a finite size
// and in lines that are no wider than there is room, but for a formula that is.
func FuzzProse(f *testing.F) {
	for _, s := range []string{
		"By how much does it turn?", "*a* **b** `c` $\\sqrt{\\frac{a}{b^2}}$", "<b>&amp;", "$", "$x", "[a](http://b)", strings.Repeat("w", 300),
		"\x00\xff⁻⁴⌀′", "| a | b |\n|---|---|", "$\\sum_{i=1}^n x_i$ and $\\left(a\\right)$",
	} {
		f.Add(s)
	}
	p, err := newPress(A4)
	if err != nil {
		f.Fatal(err)
	}
	p.pdf.AddPage()
	f.Fuzz(func(t *testing.T, s string) {
		items := p.prose(s, body)
		widest := 0.0
		for _, it := range items {
			widest = max(widest, it.w)
		}
		for _, l := range lines(items, 170, 0) {
			if !(l.w >= 0 && l.w <= max(170, widest)+1e-6 && l.up >= 0 && l.up < 1e4 && l.down < 1e4) {
				t.Errorf("a line is %g wide, %g high and %g deep", l.w, l.up, l.down)
			}
		}
	})
}
