package room

import (
	"slices"
	"time"

	"shaftbook/web/page"
)

// here returns who is where, by the sections of the lesson: those with an exercise
// that stalls first, then in its order. Sections in which nobody is stand apart.
func (s *state) here(stalling []string) *page.RoomHere {
	view := &page.RoomHere{Present: len(s.present), All: len(s.order)}
	var sections []page.RoomSection
	rows := make([]int, len(s.Sections)) // smaller headings belong to the section above
	for i, section := range s.Sections {
		if section.Level <= 2 || i == 0 {
			sections = append(sections, page.RoomSection{Heading: section.Heading})
		}
		rows[i] = len(sections) - 1
	}
	for _, cell := range stalling {
		if len(sections) > 0 {
			sections[rows[s.sectionOf(cell)]].Stalls = true
		}
	}
	last := s.lastSigns()
	for _, person := range s.order {
		shown := page.RoomPerson{Name: s.names[person]}
		if at := last[person]; !at.IsZero() {
			shown.Note = minutes(s.now.Sub(at))
		}
		at, here := s.present[person]
		if !here || len(sections) == 0 {
			view.Away = append(view.Away, shown)
			continue
		}
		section := &sections[rows[s.sectionOf(at.Place)]]
		section.People = append(section.People, shown)
	}
	for _, section := range sections {
		if len(section.People) == 0 {
			view.Empty = append(view.Empty, section.Heading)
			continue
		}
		view.Sections = append(view.Sections, section)
	}
	slices.SortStableFunc(view.Sections, func(a, b page.RoomSection) int { return stallsFirst(a.Stalls, b.Stalls) })
	return view
}

// stallsFirst orders what stalls before what does not.
func stallsFirst(a, b bool) int {
	switch {
	case a == b:
		return 0
	case a:
		return -1
	}
	return 1
}

// lastSigns returns when each person last answered, guessed or asked for help.
func (s *state) lastSigns() map[string]time.Time {
	last := map[string]time.Time{}
	note := func(person string, at time.Time) {
		if at.After(last[person]) {
			last[person] = at
		}
	}
	for _, list := range s.attempts {
		for _, a := range list {
			note(a.Learner, a.At)
		}
	}
	for _, list := range s.predictions {
		for _, p := range list {
			note(p.Learner, p.At)
		}
	}
	for _, list := range s.hints {
		for _, h := range list {
			note(h.Learner, h.At)
		}
	}
	return last
}

// sectionOf returns the section that holds a heading or cell; the first for
// a place that is not known.
func (s *state) sectionOf(place string) int {
	cell, isCell := s.Lesson.Cell(place)
	found := 0
	for i, section := range s.Sections {
		if isCell && section.Line <= cell.Line || !isCell && section.ID == place {
			found = i
		}
	}
	return found
}
