package room

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"shaftbook/exercises"
	"shaftbook/exercises/marking"
	"shaftbook/exercises/store"
	"shaftbook/kernel/figure"
	"shaftbook/kernel/figure/plot"
	"shaftbook/lessons"
	"shaftbook/web/app/attempt"
	"shaftbook/web/page"
)

// An answerStand is how an answer compares with the right value.
type answerStand struct {
	attempt.Relative
	known bool // the answer has a value
}

// A slip is a wrong turn of a class, as it is kept: the names of the slips that
// the answer cannot tell apart.
type slip struct {
	page.RoomSlip
	key string
}

// slipLetters name the slips in the picture.
const slipLetters = "abcdefghijklmnopqstuvwxyz"

// slipsOf counts the wrong turns: how many students take each now, and how many
// did at any time. Those that most take come first.
func slipsOf(ask *exercises.Part, last []latest, all []store.Attempt) []slip {
	by := map[string]*slip{}
	at := func(key string) *slip {
		if by[key] == nil {
			by[key] = &slip{page.RoomSlip{Name: ask.SlipWords(key)}, key}
		}
		return by[key]
	}
	for _, l := range last {
		if key := l.attempt.Slip; key != "" {
			at(key).Now++
		}
	}
	once := map[[2]string]bool{}
	for _, a := range all {
		if a.Slip != "" && !once[[2]string{a.Learner, a.Slip}] {
			once[[2]string{a.Learner, a.Slip}] = true
			at(a.Slip).Ever++
		}
	}
	var list []slip
	for _, s := range by {
		list = append(list, *s)
	}
	slices.SortFunc(list, func(a, b slip) int {
		return cmp.Or(cmp.Compare(b.Now, a.Now), cmp.Compare(b.Ever, a.Ever), strings.Compare(a.key, b.key))
	})
	for i := range list {
		if ask.Kind == marking.Number && list[i].Now > 0 && i < len(slipLetters) {
			list[i].Letter = slipLetters[i : i+1]
		}
	}
	return list
}

// dots draws the last answers over an axis of answer ÷ right value. The sentence
// says what is not in the picture.
func (r *Room) dots(ctx context.Context, s *state, cell lessons.Cell, ask *exercises.Part, last []latest, slips []slip) (figure.Picture, string, error) {
	right := plot.DotGroup{Label: "right", Sign: plot.FullSign}
	early := plot.DotGroup{Label: "rounded early", Sign: plot.LetterSign, Letter: "r"}
	other := plot.DotGroup{Label: "not right", Sign: plot.DiamondSign}
	turns := make([]plot.DotGroup, len(slips))
	for i, slip := range slips {
		turns[i] = plot.DotGroup{Label: slip.Name, Sign: plot.LetterSign, Letter: slip.Letter}
	}
	low, high, left := math.Inf(1), math.Inf(-1), 0
	for _, l := range last {
		stand, err := r.answerStand(ctx, s, cell, ask, l)
		if err != nil {
			return nil, "", err
		}
		if !stand.known {
			left++
			continue
		}
		if stand.Low > 0 {
			low, high = min(low, stand.Low), max(high, stand.High)
		}
		group := &other
		switch i := slices.IndexFunc(slips, func(s slip) bool { return s.key == l.attempt.Slip && s.Letter != "" }); {
		case l.attempt.Verdict == string(marking.Right):
			group = &right
		case l.attempt.Verdict == string(marking.RoundedEarly):
			group = &early
		case i >= 0:
			group = &turns[i]
		}
		group.Values = append(group.Values, stand.Value)
	}
	dots := &plot.DotPlot{Heading: "Answers compared with the correct value"}
	if low < high {
		dots.Low, dots.High = low, high
	}
	for _, g := range slices.Concat([]plot.DotGroup{right, early}, turns, []plot.DotGroup{other}) {
		if len(g.Values) > 0 {
			dots.Groups = append(dots.Groups, g)
		}
	}
	sentence := ""
	if left > 0 {
		sentence = fmt.Sprintf("Not shown in the figure: %s without a value of the quantity asked for.", answers(left))
	}
	if len(dots.Groups) == 0 || dots.Check() != nil {
		return nil, sentence, nil
	}
	if dots.Low > 0 {
		sentence = strings.TrimSpace("The bounds depend on each student’s numbers; the hatched range is impossible for everyone. " + sentence)
	}
	return dots, sentence, nil
}

// answerStand sets an answer against the right value, once.
func (r *Room) answerStand(ctx context.Context, s *state, cell lessons.Cell, ask *exercises.Part, l latest) (answerStand, error) {
	said := cmp.Or(l.attempt.Reading, l.attempt.Answer)
	k := memoKey{exercise: cell.Text, learner: s.Assignment.ID + " " + l.person, part: ask.Name, said: said}
	return r.answers.Do(k, func() (answerStand, error) {
		rel, known, err := r.service.RelativeAnswer(ctx, s.place(cell, l.person), ask.Name, said)
		var unset *attempt.Unset
		if errors.As(err, &unset) { // the text was mended into something that cannot be set
			return answerStand{}, nil
		}
		return answerStand{rel, known}, err
	})
}
