package text_test

import (
	"regexp"
	"strings"
	"testing"

	"shaftbook/kernel"
	"shaftbook/lessons"
)

// exempt lists what a lesson need not have, with the reason.
var exempt = map[string]map[string]string{
	"sum-to-integral":   {bracketFirst: "its shaft is that of the lesson on segments, which brackets it and whose bracket its checks repeat"},
	"how-far-slices-go": {bracketFirst: "it asks how good the model is, and has no one answer to bracket"},
}

// Parts of the checklist.
const (
	guessed      = "a guess"
	exercised    = "four exercises"
	slipsNamed   = "a heading “Slips to know by their size”"
	checked      = "what it was checked against"
	bracketFirst = "a bracket above its answer"
	pictured     = "a figure"
	tried        = "a slider or trials"
)

// answers names the heading under which a lesson first gives its answer; a bracket is
// spoken of above it. Lessons that are not named have theirs above "Can it be right?".
var answers = map[string]string{
	"uniform-shaft":              "the-answer",
	"where-stiffness-comes-from": "adding-rings",
	"units-that-cannot-lie":      "the-same-shaft-three-ways",
	"stepped-shaft":              "piece-by-piece",
	"taper-in-segments":          "cutting",
	"can-it-be-right":            "the-narrow-bracket",
	"hollow-taper":               "the-sum-then-the-integral",
	"held-at-both-ends":          "the-sum-then-the-integral",
	"sizing-a-shaft":             "backwards-by-hand",
	"measured-shaft":             "by-hand-from-the-table",
	"two-metals":                 "the-sum-then-the-integral",
	"inches-and-pounds":          "the-twist-in-inches",
	"how-shafts-break":           "try-it",
	"another-route":              "first-route-one-torque-at-a-time",
	"the-drive-line":             "the-sum-then-the-integral",
	"tolerances":                 "one-at-a-time",
	"what-the-machine-can-miss":  "an-integral-between-proven-bounds",
}

var fenced = regexp.MustCompile("(?ms)^```.*?^```")

// TestChecklist holds every lesson to the checklist of the author's guide, as far as a
// machine can: whether the parts are good is for a reader to say.
func TestChecklist(t *testing.T) {
	seen := map[string]bool{}
	eachLesson(t, func(t *testing.T, l *lessons.Lesson) {
		has := map[string]bool{
			guessed:      len(l.Guesses) > 0,
			exercised:    len(l.CellsOf(lessons.Exercise)) >= 4,
			slipsNamed:   l.HasAnchor("slips-to-know-by-their-size"),
			checked:      len(l.Checked) > 0,
			bracketFirst: bracketComesFirst(l),
		}
		for _, r := range results(t, working(l), l) {
			switch r.Kind {
			case kernel.KindPlot, kernel.KindDraw:
				has[pictured] = true
			case kernel.KindVary, kernel.KindTrials:
				has[tried] = true
			}
		}
		for _, part := range []string{guessed, exercised, slipsNamed, checked, bracketFirst, pictured, tried} {
			reason, free := exempt[l.Slug][part]
			switch {
			case !has[part] && !free:
				t.Errorf("%s has not %s", l.Slug, part)
			case has[part] && free:
				t.Errorf("%s has %s: take it out of the exemptions (%s)", l.Slug, part, reason)
			}
		}
	})
	for _, l := range shelf(t).Lessons {
		seen[l.Slug] = true
	}
	for slug := range exempt {
		if !seen[slug] {
			t.Errorf("%s is exempt from something and is not a lesson", slug)
		}
	}
	for slug, anchor := range answers {
		if l, ok := shelf(t).Lesson(slug); !ok || !l.HasAnchor(anchor) {
			t.Errorf("%s has no heading #%s, under which its answer stood", slug, anchor)
		}
	}
}

// bracketComesFirst reports whether the text of a lesson speaks of a bracket above the
// heading of its answer.
func bracketComesFirst(l *lessons.Lesson) bool {
	anchor, ok := answers[l.Slug]
	if !ok {
		anchor = "can-it-be-right"
	}
	text := fenced.ReplaceAllStringFunc(l.Text.Content, func(cell string) string {
		return strings.Repeat("\n", strings.Count(cell, "\n"))
	})
	lines := strings.Split(text, "\n")
	for _, h := range l.Headings {
		if h.ID == anchor {
			return strings.Contains(strings.ToLower(strings.Join(lines[:h.Line-1], "\n")), "bracket")
		}
	}
	return false
}
