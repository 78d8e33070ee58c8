package reference

import (
	"go.yaml.in/yaml/v3"
)

// A Path is a way through the lessons for one kind of reader.
type Path struct {
	Title string
	For   string // whom it is for, in a sentence or two
	Steps []Step
}

// A Step is what is done in one go: a week, a day, a session.
type Step struct {
	Title   string
	Lessons []Place // without anchors
	Note    string  // may be empty
}

func (r *Reference) readPaths(y *reader, root *yaml.Node) {
	titles := map[string]bool{}
	y.each(root, "a list of paths", func(item *yaml.Node) {
		var p Path
		if !y.entry(item, "the paths", field{"title", true, words(&p.Title)}, field{"for", true, words(&p.For)}, field{"steps", true, func(v *yaml.Node) string {
			seen := map[string]bool{}
			y.each(v, "the steps of a path", func(item *yaml.Node) { p.readStep(y, item, seen) })
			return ""
		}}) {
			return
		}
		if titles[p.Title] {
			y.list.Addf(y.yaml.Span(item), CodeSequence, "a second path is called “%s”", p.Title).Repair = "give it another title"
		}
		titles[p.Title] = true
		r.Paths = append(r.Paths, p)
	})
}

func (p *Path) readStep(y *reader, item *yaml.Node, seen map[string]bool) {
	var s Step
	if !y.entry(item, "the steps of a path", field{"title", true, words(&s.Title)}, field{"lessons", true, y.places(&s.Lessons)}, field{"note", false, words(&s.Note)}) {
		return
	}
	for _, l := range s.Lessons {
		switch {
		case l.Anchor != "":
			y.list.Addf(l.At, CodeValue, "a path leads to whole lessons").Repair = "write " + l.Slug + ".md"
		case seen[l.Slug]:
			y.list.Addf(l.At, CodeSequence, "%s is in this path twice", l.Slug).Repair = "leave it in one step"
		}
		seen[l.Slug] = true
	}
	p.Steps = append(p.Steps, s)
}
