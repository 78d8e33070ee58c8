package demo

import (
	"context"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store"
	"shaftbook/lessons"
	"shaftbook/web/app/sharing"
)

// shownText is a page of a student's own, with a question in it for the instructor.
const shownText = `# My brackets for the plain spindle

Is the bearing seat of 42 mm the thickest part, or does the collar count? I took the seat.

` + "```calc" + `
T = 300 N·m
L = 800 mm
G = 79 GPa
vary d from 30 mm to 42 mm by 1 mm starting at 36 mm
θ = T·L/(G·π/32·d^4) in deg
θ_stiff = T·L/(G·π/32·(42 mm)^4) in deg
θ_soft = T·L/(G·π/32·(30 mm)^4) in deg
expect θ_stiff <= θ <= θ_soft
` + "```\n"

// answered is what the instructor writes beside the question.
const answered = "The collar is thicker, but so short that it hardly matters. Which of your two bounds would it move, if you took it along the whole length?"

// showPage lets a student write a page and show it; the instructor answers an hour later.
func (s *School) showPage(ctx context.Context, at time.Time) error {
	who := s.learners[asker-1]
	p := store.Page{ID: "BRACKETSOFTHEPLAINSPINDLEA", Name: "My brackets for the plain spindle", Kind: store.KindPage, Text: shownText, ChangedAt: at}
	if err := s.store.AddPage(ctx, who.ID, p, 50); err != nil {
		return err
	}
	shown := &sharing.Shown{Store: s.store, Now: func() time.Time { return at }}
	return shown.Show(ctx, s.Class.ID, p, who.ID)
}

func (s *School) answerPage(ctx context.Context, at time.Time) error {
	who := s.learners[asker-1]
	p, err := s.store.Page(ctx, who.ID, "BRACKETSOFTHEPLAINSPINDLEA")
	if err != nil {
		return err
	}
	var blocks []string
	for _, b := range lessons.Blocks(p.Text) {
		blocks = append(blocks, b.Raw)
	}
	shown := &sharing.Shown{Store: s.store, Now: func() time.Time { return at }}
	return shown.Answer(ctx, class.PageNote{
		ID: class.NewID(), Class: s.Class.ID, Person: who.ID, Block: sharing.BlockHash(blocks[0]), Text: answered, By: s.Instructor.ID,
	}, p, blocks)
}
