package ownpage

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"shaftbook/exercises/class"
	"shaftbook/kernel"
	"shaftbook/kernel/notation"
	"shaftbook/lessons"
)

// OfLesson returns the text of a lesson for a page, or that of the section under a
// heading with the cells of others that define names it uses. Without exercises each of
// them is a link to the lesson. The error is ctx's.
func OfLesson(ctx context.Context, l *lessons.Lesson, section string, withoutExercises bool) (string, error) {
	blocks := lessons.Blocks(l.Text.Content)
	if section != "" {
		working := l.NewWorking()
		if err := working.Evaluate(ctx, nil); err != nil {
			return "", err
		}
		blocks = sectionOf(l, working, blocks, section)
	}
	if withoutExercises {
		blocks = slices.Clone(blocks)
		slug, _ := class.SplitKey(l.Slug)
		for i, b := range blocks {
			if b.Kind == lessons.BlockKind(lessons.Exercise.String()) {
				blocks[i].Raw = fmt.Sprintf("> There is an exercise here, which stays in the lesson: [%s](%s.md).\n\n", l.Title, slug)
			}
		}
	}
	return lessons.Join(blocks), nil
}

// sectionOf returns the blocks of the section under a heading, below a name for the page
// and the cells that the section needs.
func sectionOf(l *lessons.Lesson, working *kernel.Working, blocks []lessons.Block, section string) []lessons.Block {
	at := slices.IndexFunc(l.Headings, func(h lessons.Heading) bool { return h.ID == section })
	if at < 0 {
		return blocks
	}
	heading := l.Headings[at]
	until := 1 << 30
	for _, h := range l.Headings[at+1:] {
		if h.Level <= heading.Level {
			until = h.Line
			break
		}
	}
	var others, inside []lessons.Block
	line := 1
	for _, b := range blocks {
		if line >= heading.Line && line < until {
			inside = append(inside, b)
		} else {
			others = append(others, b)
		}
		line += strings.Count(b.Raw, "\n")
	}
	out := []lessons.Block{{Kind: lessons.Prose, Raw: "# " + l.Title + "\n\n"}}
	if needed := neededOf(working, others, inside); len(needed) > 0 {
		out = append(out, lessons.Block{Kind: lessons.Prose, Raw: "From other sections of the lesson:\n\n"})
		out = append(out, needed...)
	}
	return append(out, inside...)
}

// neededOf returns those of the other cells that define names which cells of a section
// use, and the cells that those need in their turn, in their order.
func neededOf(working *kernel.Working, others, inside []lessons.Block) []lessons.Block {
	used := map[string]bool{}
	note := func(cell string) {
		for _, r := range working.Results(cell) {
			if r.Node == nil || r.Kind == kernel.KindBad {
				continue
			}
			for _, n := range notation.Uses(r.Node) {
				used[n.Ident] = true
			}
		}
	}
	for _, b := range inside {
		note(b.Cell)
	}
	defines := func(b lessons.Block) bool {
		if name, ok := strings.CutPrefix(b.Cell, lessons.Shaft.String()+"-"); ok && used[name] {
			return true
		}
		return slices.ContainsFunc(working.Results(b.Cell), func(r kernel.Result) bool { return r.Name != "" && used[r.Name] })
	}
	taken := make([]bool, len(others))
	for more := true; more; {
		more = false
		for i, b := range others {
			if !taken[i] && b.Cell != "" && defines(b) {
				taken[i], more = true, true
				note(b.Cell)
			}
		}
	}
	var needed []lessons.Block
	for i, b := range others {
		if taken[i] {
			needed = append(needed, b)
		}
	}
	return needed
}
