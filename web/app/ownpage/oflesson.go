package ownpage

import (
	"fmt"
	"slices"
	"strings"

	"shaftbook/exercises/class"
	"shaftbook/kernel"
	"shaftbook/kernel/notation"
	"shaftbook/lessons"
)

// OfLesson returns the text of a lesson for a page, or that of the section under a
// heading with the cells before it that define names it uses. Without exercises each of
// them is a link to the lesson.
func OfLesson(l *lessons.Lesson, section string, withoutExercises bool) string {
	blocks := lessons.Blocks(l.Text.Content)
	if section != "" {
		blocks = sectionOf(l, blocks, section)
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
	return lessons.Join(blocks)
}

// sectionOf returns the blocks of the section under a heading, below a name for the page
// and the cells that the section needs.
func sectionOf(l *lessons.Lesson, blocks []lessons.Block, section string) []lessons.Block {
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
	var above, inside []lessons.Block
	line := 1
	for _, b := range blocks {
		switch {
		case line >= until:
		case line >= heading.Line:
			inside = append(inside, b)
		default:
			above = append(above, b)
		}
		line += strings.Count(b.Raw, "\n")
	}
	out := []lessons.Block{{Kind: lessons.Prose, Raw: "# " + l.Title + "\n\n"}}
	if needed := neededOf(l, above, inside); len(needed) > 0 {
		out = append(out, lessons.Block{Kind: lessons.Prose, Raw: "From the earlier sections of the lesson:\n\n"})
		out = append(out, needed...)
	}
	return append(out, inside...)
}

// neededOf returns those of the cells above that define names which cells of a section
// use, and the cells that those need in their turn, in their order.
func neededOf(l *lessons.Lesson, above, inside []lessons.Block) []lessons.Block {
	working := l.NewWorking()
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
	var needed []lessons.Block
	for _, b := range slices.Backward(above) {
		if b.Cell != "" && defines(b) {
			note(b.Cell)
			needed = append(needed, b)
		}
	}
	slices.Reverse(needed)
	return needed
}
