package download

import (
	"fmt"
	"strings"

	"shaftbook/kernel"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/typeset"
	"shaftbook/lessons"
)

var textForm = form{
	title:   func(s string) string { return s + "\n" },
	heading: func(s string) string { return s + "\n" },
	checked: func(list []lessons.Source) string {
		var b strings.Builder
		for _, s := range list {
			b.WriteString("  " + sourceLine(s, "", "", func(s string) string { return s }) + "\n")
		}
		return b.String()
	},
	cell: func(results []kernel.Result, covered Covered) string {
		var b strings.Builder
		for _, r := range results {
			b.WriteString("  " + strings.ReplaceAll(written(&r), "\n", "\n  "))
			if covered(&r) {
				b.WriteString("   — " + guessFirst + "\n")
				continue
			}
			switch {
			case r.Failed():
				b.WriteString("   — " + r.Diagnostics.FirstError().Message)
			case r.Verdict != nil:
				b.WriteString("   — " + verdictWords(r.Verdict))
			case r.Slider != nil:
				b.WriteString("   — " + r.Name + " = " + r.Slider.Text)
			case r.Kind == kernel.KindShaft:
				b.WriteString("\n  — " + r.Shown())
			case saysMore(&r):
				b.WriteString(relation(&r) + r.Text)
			}
			b.WriteString("\n")
			if r.Table != nil {
				b.WriteString(columns(r.Table))
			}
			for _, f := range fits(&r) {
				b.WriteString("    " + f.Text + "\n")
			}
		}
		return b.String()
	},
}

// relation is what comes between a formula and its value: a value that is an
// estimate is about equal to the formula.
func relation(r *kernel.Result) string {
	if _, is := r.Estimated(); is {
		return " ≈ "
	}
	return " = "
}

func texRelation(r *kernel.Result) string {
	if _, is := r.Estimated(); is {
		return " \\approx "
	}
	return " = "
}

// written is a statement as text. A shaft is taken as it is typed.
func written(r *kernel.Result) string {
	if shaft, ok := r.Node.(*notation.ShaftCell); ok {
		return strings.TrimSpace(shaft.Text.Content)
	}
	return r.Plain()
}

// saysMore reports whether the result of a statement is not already what
// is right of its "=".
func saysMore(r *kernel.Result) bool {
	if r.Kind != kernel.KindValue || r.Text == "" {
		return false
	}
	return !strings.HasSuffix(strings.ReplaceAll(r.Plain(), " ", ""), strings.ReplaceAll(strings.ReplaceAll(r.Text, "\u00a0", ""), " ", ""))
}

func verdictWords(v *kernel.Verdict) string {
	word := "holds"
	if !v.Holds {
		word = "fails"
	}
	if v.Margin != "" {
		word += ": " + v.Margin
	}
	return word
}

// guessFirst stands in the place of a result that a guess covers.
const guessFirst = "guess first"

// fits are what the trials of a statement show, in sentences.
func fits(r *kernel.Result) []kernel.Fit {
	if r.Trials == nil {
		return nil
	}
	return r.Trials.Fits
}

// texFit writes the sentence of a fit, with the names of the statement as formulas.
func texFit(r *kernel.Result, f kernel.Fit) string {
	text := texWords(strings.ReplaceAll(f.Text, kernel.Mark, "about "))
	n, ok := r.Node.(*notation.Trials)
	if !ok {
		return text
	}
	set := func(before string, x notation.Expr) {
		text = strings.Replace(text, before+texWords(typeset.Plain(x)), before+"$"+typeset.TeX(x)+"$", 1)
	}
	for _, c := range n.Columns {
		set("change of ", c.Expr)
	}
	set("against ", n.Var)
	return text
}

// columns writes a table with its columns under one another.
func columns(t *kernel.Table) string {
	rows := [][]string{make([]string, len(t.Headers))}
	for i, h := range t.Headers {
		label := h.Label
		if label == "" {
			label = typeset.Plain(h.Expr)
		}
		if h.Unit != "" {
			label += " / " + h.Unit
		}
		rows[0][i] = label
	}
	rows = append(rows, t.Marked()...)
	wide := make([]int, len(t.Headers))
	for _, row := range rows {
		for i, cell := range row {
			wide[i] = max(wide[i], len([]rune(cell)))
		}
	}
	var b strings.Builder
	for _, row := range rows {
		b.WriteString("   ")
		for i, cell := range row {
			fmt.Fprintf(&b, " %s%s ", strings.Repeat(" ", wide[i]-len([]rune(cell))), cell)
		}
		b.WriteString("\n")
	}
	return b.String()
}

// texForm writes for a document with amsmath: each cell is a display of its
// statements, aligned at their first relation where they have one.
var texForm = form{
	title:   func(s string) string { return "\\section*{" + texWords(s) + "}\n" },
	heading: func(s string) string { return "\\subsection*{" + texWords(s) + "}\n" },
	checked: func(list []lessons.Source) string {
		var b strings.Builder
		for _, s := range list {
			b.WriteString("\\item " + sourceLine(s, "\\emph{", "}", texWords) + "\n")
		}
		return "\\begin{itemize}\n" + b.String() + "\\end{itemize}\n"
	},
	cell: func(results []kernel.Result, covered Covered) string {
		var lines []string
		for _, r := range results {
			if r.Failed() {
				lines = append(lines, "&\\text{"+texWords(strings.ReplaceAll(written(&r), "\n", " "))+"}")
				continue
			}
			line := "&" + texStatement(&r)
			if covered(&r) {
				lines = append(lines, line+"\\quad\\text{("+guessFirst+")}")
				continue
			}
			switch {
			case r.Slider != nil:
				line += "\\quad\\text{(now $" + texValue(r.Slider.Text) + "$)}"
			case r.Verdict != nil:
				line += "\\quad\\text{(" + texWords(verdictWords(r.Verdict)) + ")}"
			case r.Kind == kernel.KindShaft:
				line += "\\\\\n&\\text{" + texWords(r.Text) + "}"
			case saysMore(&r):
				line += texRelation(&r) + texValue(r.Text)
			}
			lines = append(lines, line)
			if r.Table != nil {
				lines = append(lines, "&"+texTable(r.Table))
			}
			for _, f := range fits(&r) {
				lines = append(lines, "&\\text{"+texFit(&r, f)+"}")
			}
		}
		return "\\begin{align*}\n" + strings.Join(lines, "\\\\\n") + "\n\\end{align*}\n"
	},
}

func texStatement(r *kernel.Result) string {
	shaft, ok := r.Node.(*notation.ShaftCell)
	if !ok {
		return r.TeX()
	}
	var lines []string
	for _, line := range shaft.Lines {
		lines = append(lines, typeset.TeX(line))
	}
	return strings.Join(lines, "\\\\\n&")
}

// texValue writes a displayed value, such as "0.9706 deg".
func texValue(shown string) string {
	expr, list := notation.ParseExpr(source.NewText("", shown))
	if list.HasErrors() {
		return "\\text{" + texWords(shown) + "}"
	}
	return typeset.TeX(expr)
}

func texTable(t *kernel.Table) string {
	var b strings.Builder
	b.WriteString("\\begin{array}{" + strings.Repeat("r", len(t.Headers)) + "}\n")
	var heads []string
	for _, h := range t.Headers {
		head := "\\text{" + texWords(h.Label) + "}"
		if h.Label == "" {
			head = typeset.TeX(h.Expr)
		}
		if h.Unit != "" {
			head += " / " + texValue("1 " + h.Unit)[1:]
		}
		heads = append(heads, head)
	}
	b.WriteString(strings.Join(heads, " & ") + "\\\\ \\hline\n")
	for _, row := range t.Marked() {
		cells := make([]string, len(row))
		for i, cell := range row {
			value, isEstimate := strings.CutPrefix(cell, kernel.Mark)
			cells[i] = texValue(value)
			if isEstimate {
				cells[i] = "\\approx " + cells[i]
			}
			if t.Headers[i].Words {
				cells[i] = "\\text{" + texWords(cell) + "}"
			}
		}
		b.WriteString(strings.Join(cells, " & ") + "\\\\\n")
	}
	b.WriteString("\\end{array}")
	return b.String()
}

// texWords makes running text safe for TeX.
func texWords(s string) string { return texSigns.Replace(s) }

var texSigns = strings.NewReplacer(`\`, `\textbackslash{}`, "{", `\{`, "}", `\}`, "$", `\$`, "&", `\&`, "#", `\#`, "%", `\%`, "_", `\_`, "^", `\^{}`, "~", `\~{}`, "\u00a0", "~")
