package exercises

import (
	"context"
	"fmt"
	"strings"

	"shaftbook/exercises/marking"
	"shaftbook/exercises/yamltext"
	"shaftbook/kernel"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
)

// mostInWords bounds the values in the words of one structure.
const mostInWords = 40

// An inWords is a value that the words of an exercise show with a learner's own
// numbers: {1.2·θ in deg} in a question or an option.
type inWords struct {
	written string // between the braces
	text    *source.Text
	at      source.Span
}

// eachBrace calls f with what is between the braces of a text, outside of formulas
// ($…$) and code, and puts what f returns in the place of the braces with it.
func eachBrace(text string, f func(written string) string) string {
	var b strings.Builder
	for len(text) > 0 {
		switch c := text[0]; {
		case c == '\\' && len(text) > 1:
			b.WriteString(text[:2])
			text = text[2:]
		case c == '$' || c == '`':
			end := strings.IndexByte(text[1:], c)
			if end < 0 {
				b.WriteString(text)
				return b.String()
			}
			b.WriteString(text[:end+2])
			text = text[end+2:]
		case c == '{':
			end := strings.IndexByte(text, '}')
			if end < 0 {
				b.WriteString(text)
				return b.String()
			}
			b.WriteString(f(text[1:end]))
			text = text[end+1:]
		default:
			b.WriteByte(c)
			text = text[1:]
		}
	}
	return b.String()
}

// eachWords calls f with every text of a structure that learners read, and puts what f
// returns in its place.
func (s *Structure) eachWords(f func(text string, at source.Span) string) {
	s.Text = f(s.Text, s.at)
	for _, a := range s.Parts {
		a.Text, a.Question, a.Sign, a.Why = f(a.Text, a.at), f(a.Question, a.at), f(a.Sign, a.at), f(a.Why, a.at)
		for i := range a.Hints {
			a.Hints[i] = f(a.Hints[i], a.at)
		}
		for i := range a.Options {
			a.Options[i].Text, a.Options[i].Reason = f(a.Options[i].Text, a.at), f(a.Options[i].Reason, a.at)
		}
	}
	for _, p := range s.Predictions {
		p.Text = f(p.Text, p.at)
	}
}

// findWords reads the values that the words of a structure show.
func (r *reader) findWords(s *Structure) {
	seen := map[string]bool{}
	s.eachWords(func(text string, at source.Span) string {
		eachBrace(text, func(written string) string {
			if seen[written] || len(s.inWords) >= mostInWords {
				return ""
			}
			seen[written] = true
			w := inWords{written: written, text: source.NewText(r.Text.Name, written), at: at}
			r.Places[w.text] = yamltext.Place{At: at}
			cell, list := notation.ParseCell(w.text)
			r.List = append(r.List, r.Places.Locate(list)...)
			isShow := false
			if len(cell.Stmts) == 1 {
				_, isShow = cell.Stmts[0].(*notation.Show)
			}
			if !list.HasErrors() && !isShow {
				r.List.Addf(at, CodeValue, "“{%s}” in a text is not a value", written).Repair = "write an expression between the braces, such as {1.2·θ in deg to 3 figures}"
			}
			s.inWords = append(s.inWords, w)
			return ""
		})
		return text
	})
}

// clone returns a copy of a structure whose words can be changed.
func (s *Structure) clone() *Structure {
	c := *s
	c.Parts = make([]*Part, len(s.Parts))
	for i, a := range s.Parts {
		part := *a
		part.Hints = append([]string{}, a.Hints...)
		part.Options = append([]marking.Option{}, a.Options...)
		c.Parts[i] = &part
	}
	c.Predictions = make([]*Prediction, len(s.Predictions))
	for i, p := range s.Predictions {
		guess := *p
		c.Predictions[i] = &guess
	}
	return &c
}

// putWords gives the words of a variant its own numbers. The list has what has no value,
// and options that read the same.
func (v *Variant) putWords(ctx context.Context) (source.List, error) {
	if len(v.Structure.inWords) == 0 {
		return nil, nil
	}
	s := v.Structure.clone()
	d := &evaluator{exercise: v.Exercise, structure: s, places: v.eval.places, cells: v.eval.cells}
	cells := append([]kernel.Cell{}, d.cells...)
	for i, w := range s.inWords {
		cells = append(cells, kernel.Cell{ID: wordsCell(i), Kind: kernel.Calc, Text: w.text})
	}
	d.working = v.reuse.working(reuseKey{v.way, "words"}, cells)
	if err := d.working.Evaluate(ctx, nil); err != nil {
		return nil, err
	}
	var list source.List
	shown := map[string]string{}
	for i, w := range s.inWords {
		list = append(list, d.problems(wordsCell(i))...)
		if results := d.working.Results(wordsCell(i)); len(results) == 1 && results[0].Value != nil {
			shown[w.written] = withDegrees(results[0].Text)
			v.said = append(v.said, *results[0].Value)
		}
	}
	if list.HasErrors() {
		return list, nil
	}
	s.eachWords(func(text string, _ source.Span) string {
		return eachBrace(text, func(written string) string { return shown[written] })
	})
	for _, a := range s.Parts {
		taken := map[string]bool{}
		for _, o := range a.Options {
			if taken[o.Text] {
				list.Addf(a.at, CodeDraw, "two options read the same, “%s”: %s", o.Text, v.numbers()).Repair = "show more figures, or add a condition under where that keeps such numbers out"
			}
			taken[o.Text] = true
		}
	}
	v.Structure = s
	return list, nil
}

// withDegrees writes a value as the list of what is given has it, with the sign of the degree.
func withDegrees(shown string) string {
	number, unit, ok := strings.Cut(shown, " deg")
	if !ok || unit != "" && !strings.HasPrefix(unit, "/") {
		return shown
	}
	return number + "°" + unit
}

func wordsCell(i int) string { return fmt.Sprintf("words-%d", i) }
