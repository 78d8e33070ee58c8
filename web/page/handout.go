package page

import (
	"fmt"
	"html"
	"html/template"
	"strings"

	"shaftbook/exercises"
	"shaftbook/exercises/marking"
	"shaftbook/kernel/figure"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/typeset"
	"shaftbook/kernel/words"
	"shaftbook/web/app/handout"
)

// A ClassHandouts is the sheets of an assignment for a class, or for one student.
type ClassHandouts struct {
	ClassFrame
	Heading    string
	Assignment string // address
	Other      string // address of the answers from the sheets and of the sheets from the answers
	Answers    bool
	All        string // address of everybody's, from one student's; else empty
	Students   []ClassWay
	Handouts   []Handout
}

// An OwnHandout is a learner's own problem sheet.
type OwnHandout struct {
	Frame
	Lesson  string // address
	Handout Handout
}

// A Handout is one learner's sheet. It begins a new page when it is printed.
type Handout struct {
	ID       string // of the element, and before the names of its parts
	Caution  string
	Points   string // what it is worth, in words
	Scale    string // what is said of the scale of drawings; empty without one
	Problems []HandoutProblem
	handout.Handout
}

// A HandoutProblem is one exercise on a sheet.
type HandoutProblem struct {
	ID      string
	Number  int
	Title   string
	Setting template.HTML
	Lines   []template.HTML // of a derivation with lines to fill
	Given   []template.HTML
	Figures []template.HTML
	Guesses []HandoutPrediction
	Parts   []HandoutPart
	Trouble string
}

// A HandoutPrediction is a question before anything is calculated.
type HandoutPrediction struct {
	Text    template.HTML
	Bracket bool
}

// A HandoutPart is one thing that is asked.
type HandoutPart struct {
	Letter  string
	Text    template.HTML
	Points  string
	Options []template.HTML
	Squares []struct{} // one for each row of squares
	Answer  *HandoutAnswer
}

// A HandoutAnswer is what is expected of a part.
type HandoutAnswer struct {
	Value        template.HTML
	Why          template.HTML
	Right        *HandoutRange // what is marked right; nil for a formula and a pick
	Shaft        []string
	Lines        []HandoutLine // the working
	Route        *HandoutLine
	RouteHeading string
	Low          *HandoutBound
	High         *HandoutBound
	Slips        []HandoutSlip
}

// A HandoutRange is the values that are marked right.
type HandoutRange struct {
	From, To template.HTML
	Within   string
}

// A HandoutLine is symbol = formula = numbers = result; what is not there is empty.
type HandoutLine struct{ Symbol, Formula, Numbers, Result template.HTML }

// A HandoutBound is a value that an answer certainly lies above or below.
type HandoutBound struct {
	Value, Formula template.HTML
	Is             string
}

// A HandoutSlip is a wrong turn and what it leads to.
type HandoutSlip struct {
	Name   string
	Values []template.HTML
	More   int // how many values are left out
	Says   string
}

// NewHandout shows a sheet; id is unique on the page.
func NewHandout(s handout.Handout, id string) Handout {
	view := Handout{ID: id, Caution: handout.Caution, Points: s.Points(), Handout: s}
	if s.HasFigures() {
		view.Scale = handout.Scale
	}
	for i := range s.Problems {
		view.Problems = append(view.Problems, sheetProblem(&s.Problems[i], i+1, fmt.Sprintf("%s-%d", id, i+1)))
	}
	return view
}

func sheetProblem(p *handout.Problem, number int, id string) HandoutProblem {
	view := HandoutProblem{ID: id, Number: number, Title: p.Title, Trouble: p.Trouble}
	if p.Setting != "" {
		view.Setting = Inline(p.Setting)
	}
	for _, g := range p.Given {
		view.Given = append(view.Given, Given(g))
	}
	for _, l := range p.Lines {
		if l.Gap > 0 {
			view.Lines = append(view.Lines, "= ? "+Named("("+l.Words()+")"))
			continue
		}
		view.Lines = append(view.Lines, broken(l.Node))
	}
	for i, f := range p.Figures {
		view.Figures = append(view.Figures, onPaper(f, fmt.Sprintf("%s-figure-%d", id, i)))
	}
	for _, g := range p.Guesses {
		view.Guesses = append(view.Guesses, HandoutPrediction{Inline(g.Text), g.Bracket})
	}
	for i := range p.Parts {
		view.Parts = append(view.Parts, sheetPart(&p.Parts[i]))
	}
	return view
}

func sheetPart(p *handout.Part) HandoutPart {
	view := HandoutPart{Letter: p.Letter, Text: Inline(p.Ask.Asks()), Points: words.Amount(p.Ask.Points, "point")}
	if p.Expected != nil {
		view.Answer = sheetAnswer(p.Expected, p.Ask)
		return view
	}
	for _, o := range p.Ask.Options {
		view.Options = append(view.Options, Inline(o.Text))
	}
	view.Squares = make([]struct{}, p.Squares())
	return view
}

func sheetAnswer(e *exercises.Expected, a *exercises.Part) *HandoutAnswer {
	view := &HandoutAnswer{Value: quantity(e.Value), Shaft: e.Shaft}
	if a.Kind == marking.Pick || a.Kind == marking.Line {
		view.Value = Inline(e.Value)
	}
	if e.Why != "" {
		view.Why = Inline(e.Why)
	}
	if e.From != "" {
		view.Right = &HandoutRange{quantity(e.From), quantity(e.To), e.Within}
	}
	for _, s := range e.Steps {
		view.Lines = append(view.Lines, sheetLine(s))
	}
	if e.Route != nil {
		line := sheetLine(*e.Route)
		view.Route, view.RouteHeading = &line, handout.RouteHeading(e.Route)
	}
	view.Low, view.High = sheetBound(e.Low), sheetBound(e.High)
	for _, w := range e.Slips {
		slip := HandoutSlip{Name: w.Words, Says: w.Says}
		shown, more := handout.FirstValues(w.Values)
		for _, v := range shown {
			slip.Values = append(slip.Values, quantity(v))
		}
		slip.More = more
		view.Slips = append(view.Slips, slip)
	}
	return view
}

func sheetLine(s exercises.Step) HandoutLine {
	line := HandoutLine{Formula: formula(s.Formula)}
	if s.Symbol != "" {
		line.Symbol = symbol(s.Symbol)
	}
	if s.Numbers != nil {
		line.Numbers = formula(s.Numbers)
	}
	if s.Result != "" && s.Result != typeset.Plain(s.Formula) {
		line.Result = quantity(s.Result)
	}
	return line
}

func sheetBound(b *exercises.Bound) *HandoutBound {
	if b == nil {
		return nil
	}
	view := &HandoutBound{Value: quantity(b.Value), Is: b.Is}
	if typeset.Plain(b.Formula) != b.Value {
		view.Formula = formula(b.Formula)
	}
	return view
}

func formula(n notation.Node) template.HTML {
	return template.HTML(typeset.MathML(n, typeset.Options{Label: typeset.Spoken(n)}))
}

func quantity(shown string) template.HTML {
	return template.HTML(typeset.Quantity(shown, typeset.Options{Style: typeset.Inline}))
}

// symbol sets a name, or the head of a function.
func symbol(name string) template.HTML {
	x, list := notation.ParseExpr(source.NewText("", name))
	if list.HasErrors() {
		return template.HTML(html.EscapeString(name))
	}
	return template.HTML(typeset.MathML(x, typeset.Options{Style: typeset.Inline, Label: typeset.Spoken(x)}))
}

// onPaper draws a figure in millimetres.
func onPaper(p figure.Picture, id string) template.HTML {
	svg, err := p.SVG(figure.Options{ID: id, Paper: true})
	if err != nil {
		return template.HTML("<p>" + html.EscapeString("This figure cannot be drawn: "+strings.TrimSuffix(err.Error(), ".")+".") + "</p>")
	}
	return template.HTML(svg)
}
