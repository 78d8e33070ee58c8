package attempt

import (
	"fmt"
	"strings"

	"shaftbook/exercises"
	"shaftbook/web/page"
)

// fold says how far the learner is, in a few words beside the title of a folded
// exercise, and opens an exercise that was begun and is not done.
func (s *standing) fold(view *page.Exercise, p Place, v *exercises.Variant) {
	view.Task = v.Exercise.TaskOf(v.Structure)
	right, done, used, last := 0, 0, 0, partState{}
	begun := p.Series > 0
	for _, a := range v.Structure.Parts {
		st := s.part(p, v.Exercise, a.Name)
		if st.right {
			right++
		}
		if st.done() {
			done++
		}
		used, last = used+st.used, st
		begun = begun || len(st.all) > 0 || s.hintsAt(p, a.Name) > 0
	}
	for _, q := range v.Structure.Predictions {
		begun = begun || s.guess(p, q.Name) != nil
	}
	parts := len(v.Structure.Parts)
	view.Unfolded = begun && done < parts
	switch {
	case right == parts:
		view.State = "right"
	case used == 0 && done < parts:
		view.State = "not answered yet"
	case parts == 1:
		view.State = strings.ToLower(triesWords(last))
	default:
		view.State = fmt.Sprintf("%d of %d parts right", right, parts)
	}
}
