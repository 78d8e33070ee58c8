package demo

import (
	"context"
	"math"
	"math/rand/v2"
	"strconv"
	"strings"

	"shaftbook/exercises"
	"shaftbook/exercises/marking"
	"shaftbook/kernel/notation"
)

// A question is one part with one student's numbers, as far as someone who
// answers it has to know it.
type question struct {
	kind  marking.Kind
	right string   // as somebody might type it
	few   string   // the same with so few figures that it shows; right if marking takes all such for right or wrong
	wrong []string // the same of each slip, or the options that are wrong
}

func questionOf(ctx context.Context, v *exercises.Variant, ask *exercises.Part) (question, error) {
	e, err := v.Expected(ctx, ask.Name)
	if err != nil {
		return question{}, err
	}
	q := question{kind: ask.Kind, right: e.Value, few: e.Value}
	switch ask.Kind {
	case marking.Pick:
		for _, o := range ask.Options {
			if o.Text == e.Value {
				q.right = o.Name
			} else {
				q.wrong = append(q.wrong, o.Name)
			}
		}
		return q, nil
	case marking.Formula:
		q.right = notation.Print(e.Steps[len(e.Steps)-1].Formula)
	}
	for _, s := range e.Slips {
		switch {
		case ask.Kind == marking.Formula && s.Formula != nil:
			q.wrong = append(q.wrong, notation.Print(s.Formula))
		case ask.Kind == marking.Number && len(s.Values) > 0:
			q.wrong = append(q.wrong, s.Values[0])
		}
	}
	if value, unit := valueOf(q.right); unit != "" && ask.Kind == marking.Number {
		if q.few, err = fewFigures(ctx, v, ask.Name, value, unit); q.few == "" {
			q.few = q.right
		}
	}
	return q, err
}

// fewFigures rounds a value so that marking says so, with as many figures as that
// allows; nothing if no number of figures does.
func fewFigures(ctx context.Context, v *exercises.Variant, part string, value float64, unit string) (string, error) {
	for n := 3; n > 0; n-- {
		text := figures(value, n) + " " + unit
		verdict, err := v.Mark(ctx, part, text)
		if err != nil {
			return "", err
		}
		if verdict.Kind == marking.RoundedEarly {
			return text, nil
		}
	}
	return "", nil
}

// A turn is how an answer goes.
type turn int

const (
	right     turn = iota
	slip           // a wrong turn that the exercise knows
	off            // wrong in a way of one's own
	rounded        // too few figures
	noUnit         // a number alone
	wrongUnit      // that of another quantity
	notAValue      // cannot be read
)

// typed writes an answer that goes so, as far as that can be with this question.
func (q question) typed(dice *rand.Rand, t turn) string {
	if q.kind == marking.Pick {
		if t == right || len(q.wrong) == 0 {
			return q.right
		}
		return pick(dice, q.wrong...)
	}
	if t == slip && len(q.wrong) > 0 {
		return q.wrong[most(dice, len(q.wrong))]
	}
	if t == notAValue {
		return pick(dice, q.right+" I think", q.right+" or so", q.right+" +")
	}
	if q.kind == marking.Formula || q.kind == marking.Line {
		if t == right {
			return pick(dice, q.right, strings.ReplaceAll(q.right, "·", "*"))
		}
		return "2·(" + q.right + ")"
	}
	text, _, _ := strings.Cut(q.right, " ")
	value, unit := valueOf(q.right)
	if unit == "" { // with a power of ten, or a pure number
		if t == right {
			return q.right
		}
		return "1.2·(" + q.right + ")"
	}
	switch t {
	case right:
		return pick(dice, q.right, q.right, text+unit, inRadians(value, unit, q.right))
	case rounded:
		return q.few
	case noUnit:
		return text
	case wrongUnit:
		if unit == "mm" {
			return text + " N"
		}
		return text + " mm"
	}
	far := 1.06 + 0.3*dice.Float64()
	if dice.IntN(2) == 0 {
		far = 1 / far
	}
	return figures(value*far, 4) + " " + unit
}

// valueOf takes a value that is written without a power of ten apart. The unit is
// empty for anything else.
func valueOf(text string) (value float64, unit string) {
	number, unit, _ := strings.Cut(text, " ")
	value, err := strconv.ParseFloat(strings.Replace(number, "−", "-", 1), 64)
	if err != nil {
		return 0, ""
	}
	return value, unit
}

func inRadians(value float64, unit, otherwise string) string {
	if unit != "deg" {
		return otherwise
	}
	return figures(value*math.Pi/180, 4) + " rad"
}

// figures writes a number with so many significant figures and no power of ten.
func figures(v float64, n int) string {
	rounded, power, _ := strings.Cut(strconv.FormatFloat(v, 'e', n-1, 64), "e")
	exponent, _ := strconv.Atoi(power) // FormatFloat has written it
	value, _ := strconv.ParseFloat(rounded+"e"+power, 64)
	return strconv.FormatFloat(value, 'f', max(0, n-1-exponent), 64)
}

func pick(dice *rand.Rand, of ...string) string { return of[dice.IntN(len(of))] }

// most returns a number below n, the small ones more often.
func most(dice *rand.Rand, n int) int { return min(n-1, int(1.2*dice.ExpFloat64())) }
