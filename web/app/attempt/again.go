package attempt

import (
	"context"
	"fmt"
	"strings"

	"shaftbook/exercises"
	"shaftbook/exercises/marking"
	"shaftbook/exercises/store"
)

// judge marks an answer: by its reading, if there is one that was kept or chosen.
func judge(ctx context.Context, v *exercises.Variant, part, answer, reading string) (marking.Verdict, error) {
	if reading != "" {
		return v.MarkText(ctx, part, reading, answer)
	}
	return v.Mark(ctx, part, answer)
}

// notAgain reports whether an answer uses no try: by its verdict, or since it is
// the same as an earlier one that used a try, which the message then says.
func notAgain(ctx context.Context, v *exercises.Variant, part string, verdict *marking.Verdict, answer string, earlier []store.Attempt) (free bool) {
	if !verdict.Kind.IsTry() {
		return true
	}
	if verdict.Kind == marking.Right {
		return false
	}
	text := verdict.Text
	if text == "" {
		text = answer // the name of an option
	}
	for _, a := range earlier {
		if a.Free || a.Verdict != string(verdict.Kind) || a.Slip != strings.Join(verdict.Slips, " ") {
			continue
		}
		before := a.Reading
		if before == "" {
			before = a.Answer
		}
		if v.Same(ctx, part, text, before) {
			verdict.Message = fmt.Sprintf("This is the same as answer %d, so it uses no try. ", a.Number) + verdict.Message
			return true
		}
	}
	return false
}
