package reader

import (
	"context"
	"errors"
	"strings"

	"shaftbook/lessons"
	"shaftbook/web/app/assignment"
	"shaftbook/web/app/attempt"
	"shaftbook/web/page"
)

// previewSlug is the address that a lesson has in its preview: none, so that nothing of
// the lesson with that name comes in, as somebody's answers.
func previewSlug(slug string) string { return "draft." + slug }

const unshownExercise = "<p class=\"trouble\">This exercise cannot be shown. The list of faults says why.</p>\n"

// Preview returns the page of a lesson that is being written as a person finds it who
// opens it for the first time, without what is around it. images is the address under
// which the images of drafts are served.
func (h *Handlers) Preview(ctx context.Context, person string, l *lessons.Lesson, images string) (string, error) {
	p := &lessonPage{lesson: l.WithKey(previewSlug(l.Slug))}
	h.Pages.addProse(p)
	made, err := p.prose.get(ctx)
	if err != nil {
		return "", err
	}
	fill := map[string][]byte{}
	for _, cell := range p.lesson.CellsOf(lessons.Exercise) {
		body, err := h.learnersExercise(ctx, p, cell, shown{place: attempt.Place{Learner: person}}, (*assignment.Terms)(nil))
		var unset *attempt.Unset
		if errors.As(err, &unset) {
			body, err = []byte(unshownExercise), nil
		}
		if err != nil {
			return "", err
		}
		fill[gap(cell)] = body
	}
	if err := h.fillGuesses(fill, p, made.covers, person, guesses{}, nil); err != nil {
		return "", err
	}
	head, err := page.Render("preview-head", page.Lesson{Heading: l.Title, Aim: l.Aim, Minutes: l.Minutes})
	if err != nil {
		return "", err
	}
	foot, err := page.Render("checked", checkedLines(l.Checked))
	if err != nil {
		return "", err
	}
	body := string(head) + withGaps(string(made.html), fill) + string(foot)
	return strings.ReplaceAll(body, ` src="`+lessons.Path(p.lesson.Slug)+"/", ` src="`+images), nil
}

// withGaps puts into the gaps of a text, which are comments of HTML, what fills them.
func withGaps(text string, fill map[string][]byte) string {
	var b strings.Builder
	for {
		start := strings.Index(text, "<!--")
		if start < 0 {
			break
		}
		length := strings.Index(text[start:], "-->")
		if length < 0 {
			break
		}
		end := start + length + len("-->")
		b.WriteString(text[:start])
		if body, ok := fill[text[start:end]]; ok {
			b.Write(body)
		}
		text = text[end:]
	}
	b.WriteString(text)
	return b.String()
}
