package attempt

import (
	"context"
	"fmt"
	"html"
	"html/template"
	"strings"

	"shaftbook/exercises"
	"shaftbook/exercises/marking"
	"shaftbook/kernel/figure"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/typeset"
	"shaftbook/web/page"
)

const narrowWidth = 340 // of a figure on a telephone, in pixels

// question writes what is set: the words, the given values and the figure. Until
// it is done the figure shows what is given and no result.
func question(ctx context.Context, v *exercises.Variant, id string, done bool) template.HTML {
	var b strings.Builder
	if v.Structure.Text != "" {
		b.WriteString("<p>" + string(page.Inline(v.Structure.Text)) + "</p>")
	}
	if len(v.Given) > 0 {
		b.WriteString(`<p class="given-title">Given</p><ul class="given">`)
		for _, g := range v.Given {
			b.WriteString("<li>" + string(page.Given(g)) + "</li>")
		}
		b.WriteString("</ul>")
	}
	b.WriteString(derivation(v.Structure, done))
	figures, err := v.Figures(ctx)
	if err != nil {
		b.WriteString("<p>" + html.EscapeString("The figure cannot be drawn: "+err.Error()) + "</p>")
	}
	for i, r := range figures {
		p := r.Figure
		if !done {
			p = figure.Bare(p)
		}
		b.WriteString(drawn(p, fmt.Sprintf("%s-figure-%d", id, i)))
	}
	return template.HTML(b.String())
}

// derivation writes the lines of a derivation with lines to fill; when everything is done
// these stand in it.
func derivation(s *exercises.Structure, done bool) string {
	lines := s.Derivation(done)
	if len(lines) == 0 {
		return ""
	}
	var b strings.Builder
	b.WriteString(`<ol class="lines">`)
	for _, line := range lines {
		if line.Gap == 0 {
			b.WriteString("<li>" + typeset.MathML(line.Node, typeset.Options{Label: typeset.Spoken(line.Node), Lines: true}) + "</li>")
			continue
		}
		b.WriteString(`<li class="gap">= <strong>?</strong> <span>` + string(page.Named(line.Words())) + "</span></li>")
	}
	b.WriteString("</ol>")
	return b.String()
}

// drawn draws a figure twice, as lessons do, so that the text in it keeps its
// size on a telephone. It has no caption: that may say what is asked.
func drawn(p figure.Picture, id string) string {
	wide, err := p.SVG(figure.Options{ID: id})
	if err != nil {
		return "<p>" + html.EscapeString("This figure cannot be drawn: "+err.Error()) + "</p>"
	}
	narrow, err := p.SVG(figure.Options{ID: id + "-narrow", Width: narrowWidth})
	if err != nil {
		narrow = wide
	}
	return `<figure class="picture"><div class="at-wide">` + string(wide) + `</div><div class="at-narrow">` + string(narrow) + "</div></figure>"
}

func formula(x notation.Expr) template.HTML {
	return template.HTML(typeset.MathML(x, typeset.Options{Style: typeset.Inline, Label: typeset.Spoken(x)}))
}

// Check returns how an answer is read, without marking it.
func (d *Service) Check(ctx context.Context, p Place, part, text string) (page.Check, error) {
	var c page.Check
	wait, err := d.checks.Take(ctx, p.Learner, d.now())
	if err != nil {
		return c, err
	}
	if wait > 0 {
		return c, errChecks
	}
	err = d.on(ctx, p, func(ctx context.Context, v *exercises.Variant) error {
		if _, err := v.Part(part); err != nil {
			return errNoName
		}
		r, err := v.Read(ctx, part, text)
		if err != nil {
			return err
		}
		c.OK, c.Choices = r.OK, choices(r.Choices)
		switch {
		case !r.OK:
			c.Words = r.Message
		case r.Formula == nil:
			c.Words = "Picked: " + r.Value
		default:
			c.Formula = formula(r.Formula)
			c.Words = readWords(r)
			if r.Note != "" {
				c.Words = strings.TrimPrefix(c.Words+". "+r.Note, ". ")
			}
		}
		return nil
	})
	return c, err
}

// readWords returns the value of what was typed, unless it is the value itself.
func readWords(r marking.Reading) string {
	if r.Value == "" {
		return ""
	}
	switch notation.Unparen(r.Formula).(type) {
	case *notation.Number, *notation.Quantity:
		return r.Kind
	}
	return "which is " + r.Value + ", " + r.Kind
}
