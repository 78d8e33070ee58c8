package page

import (
	"fmt"
	"html/template"
	"strconv"

	"shaftbook/kernel"
	"shaftbook/kernel/derive"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/typeset"
	"shaftbook/web/app/derivation"
)

// A lineWriter writes the row of one line of a derivation. As in the rows of
// statements, parts that change carry data-part, and rows of the same
// data-shape have the same parts.
type lineWriter struct {
	rowWriter
	id      string
	outcome *derivation.Outcome
	line    *derivation.Line
	index   int
	isFirst bool // the first line that does not follow
}

func (w *lineWriter) row() template.HTML {
	l := w.line
	shape := "line"
	if l.Gap > 0 {
		shape = "gap " + strconv.Itoa(l.Gap)
	}
	w.put(`<div class="row"`)
	w.attr("id", lineID(w.id, w.index))
	w.attr("data-kind", w.kind())
	w.attr("data-shape", shape)
	w.attr("data-line", strconv.Itoa(l.Node.Span().Position().Line-1))
	verdict := ""
	if l.Verdict != nil {
		verdict = l.Verdict.Kind.String()
	}
	w.attr("data-verdict", verdict)
	w.attr("data-first", strconv.FormatBool(w.isFirst))
	w.put(">")
	w.formula()
	w.verdict()
	if l.Gap > 0 {
		w.gap()
	}
	w.said()
	w.value()
	w.say(l.Diagnostics)
	w.put("</div>")
	return template.HTML(w.String())
}

// rest is a row for what is said of the text as a whole.
func (w *lineWriter) rest() template.HTML {
	w.put(`<div class="row" data-shape="rest"`)
	w.attr("id", lineID(w.id, w.index))
	w.put(">")
	w.say(w.outcome.Rest)
	w.put("</div>")
	return template.HTML(w.String())
}

func (w *lineWriter) say(list source.List) {
	w.r = &kernel.Result{Diagnostics: list, Span: source.Span{Text: w.outcome.Text}}
	w.messages()
}

func (w *lineWriter) kind() string {
	switch w.line.Node.(type) {
	case *notation.DeriveBad:
		return "bad"
	case *notation.Given:
		return "given"
	case *notation.DeriveDefine:
		return "start"
	}
	return "step"
}

func (w *lineWriter) formula() {
	w.put(`<div class="formula" data-part="formula">`)
	defer w.put("</div>")
	reason := ""
	switch n := w.line.Node.(type) {
	case *notation.DeriveBad:
		w.text(n.Span().Content())
		return
	case *notation.Given:
		w.given(n)
		return
	case *notation.DeriveDefine:
		reason = n.Reason
	case *notation.DeriveStep:
		reason = n.Reason
		if n.Gap {
			w.reason(reason)
			return
		}
		if n.With != nil {
			w.claim(reason, func() { w.substituted(n) })
			return
		}
	}
	w.claim(reason, func() { w.put(typeset.MathML(w.line.Node, typeset.Options{Lines: true})) })
}

// claim writes what a line claims and, in a column of its own, why.
func (w *lineWriter) claim(reason string, put func()) {
	if reason == "" {
		put()
		return
	}
	w.put(`<div class="claim">`)
	put()
	w.put("</div>")
	w.reason(reason)
}

// substituted writes a step and its substitution as two formulas, so that a narrow page
// breaks the line between them.
func (w *lineWriter) substituted(n *notation.DeriveStep) {
	step := *n
	step.With, step.WithX = nil, nil
	u := &notation.Compare{Ops: []notation.Op{notation.OpEqual}, Xs: []notation.Expr{n.With, n.WithX}}
	u.At = n.With.Span().To(n.WithX.Span())
	w.put(typeset.MathML(&step, typeset.Options{Lines: true}), ` <span class="substitution">with `, typeset.MathML(u, typeset.Options{Style: typeset.Inline}), "</span>")
}

// given writes what is given as words between formulas, so that a long list
// breaks into lines. A chain such as d_1 > d_0 > 0 belongs to several names and
// is written once.
func (w *lineWriter) given(n *notation.Given) {
	w.put(`<p class="givens">given `)
	defer w.put("</p>")
	shown := map[*notation.Compare]bool{}
	separator := ""
	put := func(before string, node notation.Node, after string) {
		w.put(separator, `<span class="quantity">`)
		w.text(before)
		w.put(typeset.MathML(node, typeset.Options{Style: typeset.Inline}))
		w.text(after)
		w.put("</span>")
		separator = ", "
	}
	for _, item := range n.Items {
		before, after := "", ""
		switch {
		case item.Word != "":
			before = item.Word + " "
		case item.ShowsUnit():
			after = " in " + item.Unit.Unit.Text
		}
		hasDomain := item.Domain != nil && !shown[item.Domain]
		switch {
		case hasDomain && startsWith(item.Domain, item.Name):
			put(before, item.Domain, after)
		case item.Name != nil && (before != "" || after != "" || item.Domain == nil):
			put(before, item.Name, after)
			if hasDomain {
				put("", item.Domain, "")
			}
		case hasDomain:
			put("", item.Domain, "")
		}
		if item.Domain != nil {
			shown[item.Domain] = true
		}
	}
}

func startsWith(c *notation.Compare, name *notation.Name) bool {
	if len(c.Xs) == 0 || name == nil {
		return false
	}
	n, ok := c.Xs[0].(*notation.Name)
	return ok && n.Ident == name.Ident
}

func (w *lineWriter) reason(reason string) {
	if reason != "" {
		w.put(`<p class="reason">because `)
		w.put(withIndices(reason))
		w.put("</p>")
	}
}

// The marks of the verdicts: two shaft ends coupled, two ends that do not meet,
// two ends that touch without a coupling, a coupling that is only dotted in, and
// a place left empty.
const (
	markFollows = `<svg class="mark" viewBox="0 0 20 16" aria-hidden="true"><path d="M1 5h7v6H1M19 5h-7v6h7M8 2v12M12 2v12M8 8h4"/></svg>`
	markBreaks  = `<svg class="mark" viewBox="0 0 20 16" aria-hidden="true"><path d="M1 2h7v6H1M19 8h-7v6h7M8 2v6M12 8v6"/></svg>`
	markAgrees  = `<svg class="mark" viewBox="0 0 20 16" aria-hidden="true"><path d="M1 5h9v6H1M19 5h-9M19 11h-9M10 2v2M10 12v2"/></svg>`
	markOpen    = `<svg class="mark" viewBox="0 0 20 16" aria-hidden="true"><path d="M1 5h6M1 11h6M19 5h-6M19 11h-6"/><path d="M10 2v12" stroke-dasharray="2 2"/></svg>`
	markGap     = `<svg class="mark" viewBox="0 0 20 16" aria-hidden="true"><path d="M3 3h14v10H3z" stroke-dasharray="3 2"/></svg>`
)

var verdictWords = [...]struct{ word, mark string }{
	derive.Follows: {"follows", markFollows},
	derive.Fails:   {"does not follow", markBreaks},
	derive.Agrees:  {"agrees at every point tried", markAgrees},
	derive.Open:    {"open: neither proved nor refuted", markOpen},
	derive.Gap:     {"to be filled in", markGap},
}

func (w *lineWriter) verdict() {
	w.put(`<div class="step-verdict" data-part="verdict">`)
	if v := w.line.Verdict; v != nil {
		w.put(`<span class="step-`, v.Kind.String(), `">`, verdictWords[v.Kind].mark, verdictWords[v.Kind].word,
			`</span> <span class="step-number">(`, strconv.Itoa(v.Step), `)</span>`)
	}
	w.put("</div>")
}

func (w *lineWriter) gap() {
	id := fmt.Sprintf("%s-gap-%d", w.id, w.line.Gap)
	w.put(`<div class="gap block"><label`)
	w.attr("for", id)
	w.put(`>Your line:</label> <span class="gap-field"><span aria-hidden="true">=</span> <input type="text" class="js-gap" spellcheck="false" autocapitalize="off" autocomplete="off"`)
	w.attr("id", id)
	w.attr("name", fmt.Sprintf("gap-%d", w.line.Gap))
	w.attr("form", w.id+"-form")
	w.attr("maxlength", strconv.Itoa(derivation.FieldLimit/4)) // a character has up to four bytes
	w.attr("value", w.line.Filled)
	w.put("></span></div>")
}

// slipWords names the kinds of mistakes.
var slipWords = map[derive.Slip]string{
	derive.ChainRule:        "the derivative of the inner function",
	derive.SwappedLimits:    "upper and lower limits swapped",
	derive.OldLimits:        "limits that belong to the old variable",
	derive.LostLimit:        "a limit lost",
	derive.WrongEnd:         "taken at the wrong place",
	derive.OneEnd:           "one end taken for the whole length",
	derive.MeanValue:        "the middle taken for the whole length",
	derive.MeanStiffness:    "stiffnesses averaged",
	derive.MeanTwist:        "the values at the ends averaged",
	derive.RadiusSlip:       "radius and diameter confused",
	derive.Bending:          "bending and torsion confused",
	derive.Modulus:          "Young's modulus for the shear modulus",
	derive.WrongAngle:       "degrees and radians confused",
	derive.WrongSpeed:       "revolutions per minute and radians per second confused",
	derive.WrongUnits:       "units not converted",
	derive.DecimalPlace:     "a decimal point slipped",
	derive.Rounded:          "a number rounded too early",
	derive.Slope:            "the slope of the taper",
	derive.Series:           "stiffnesses added where compliances add",
	derive.OneTorque:        "one torque for every piece",
	derive.EqualSections:    "unequal sections taken as equal",
	derive.WrongFactor:      "a constant factor",
	derive.WrongSign:        "a sign",
	derive.WrongPower:       "a power",
	derive.Powers:           "the power of a sum",
	derive.SplitDenominator: "a denominator split",
	derive.AbsoluteValue:    "an absolute value lost",
	derive.DroppedTerm:      "a term left out",
	derive.WrongName:        "the wrong name",
	derive.SpecialCase:      "true only in a special case",
	derive.Dimensions:       "dimensions",
}

// said explains why, what kind of mistake it is, and where the two lines differ.
func (w *lineWriter) said() {
	w.put(`<div class="why block" data-part="why">`)
	defer w.put("</div>")
	v := w.line.Verdict
	if v == nil || v.Kind == derive.Gap {
		return
	}
	if v.Kind != derive.Fails {
		w.put("<p>")
		w.text(capital(v.Why) + ".")
		w.put("</p>")
		return
	}
	w.put(`<div class="wrong">`)
	defer w.put("</div>")
	if w.isFirst {
		w.put(`<p class="wrong-first">The first line that does not follow</p>`)
	}
	w.put("<p>")
	w.text(capital(v.Why) + ".")
	w.put("</p>")
	if word := slipWords[v.Slip]; word != "" {
		w.put(`<p class="wrong-kind" data-slip="`, string(v.Slip), `">Kind of mistake: <strong>`, word, `</strong>`)
		if also := slipWords[v.Also]; also != "" {
			w.put(`, or <strong data-slip="`, string(v.Also), `">`, also, `</strong>`)
		}
		w.put(`</p>`)
	}
	w.example(v)
}

func (w *lineWriter) example(v *derive.Verdict) {
	if len(v.Counterexample) == 0 || v.Above == "" {
		return
	}
	w.put(`<p>For example, with `)
	last := len(v.Counterexample) - 1
	for i, q := range v.Counterexample {
		switch {
		case i > 0 && i == last:
			w.put(" and ")
		case i > 0:
			w.put(" ")
		}
		w.put(`<span class="quantity">`, nameMathML(q.Name))
		w.text(" = " + q.Text)
		if i != last-1 {
			w.put(",") // inside, so that no line begins with it
		}
		w.put("</span>")
	}
	above, but := "the line above is", ", but this line is"
	if v.OwnLeft {
		above, but = "the left side is", " and the right side"
	}
	w.put(" ", above, ` <span class="quantity">`)
	w.text(v.Above)
	w.put("</span>", but, ` <span class="quantity">`)
	w.text(v.Claimed)
	w.put("</span>.</p>")
}

func nameMathML(ident string) string {
	return typeset.MathML(&notation.Name{Ident: ident}, typeset.Options{Style: typeset.Inline})
}

// value is the value of the line for the numbers given.
func (w *lineWriter) value() {
	w.put(`<div class="line-value block" data-part="value">`)
	defer w.put("</div>")
	v := w.line.Value
	switch {
	case v == nil:
	case v.Err != "":
		w.put(`<span class="no-value">has no value: `)
		w.text(v.Err)
		w.put("</span>")
	default:
		w.put(`<span class="quantity">`)
		w.text("= " + v.Text)
		w.put("</span>")
		if v.Parts {
			w.put(` <span class="parts">`, markBreaks, `differs from the line above</span>`)
		}
	}
}
