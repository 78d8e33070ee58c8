package page

import (
	"bytes"
	"html"

	"shaftbook/kernel"
	"shaftbook/lessons"
)

// Cell returns a cell of a lesson with its results: first what can be done with it, as
// that stands at its top, then the rows. Without a script it shows the text on request; the text is in the field, whose
// default value is the lesson's own text. Rows that cover covers show their formula only.
func (rows *Rows) Cell(lesson string, cell kernel.Cell, results []kernel.Result, cover Cover) (string, error) {
	var b bytes.Buffer
	name := "Calculation"
	if cell.Kind == kernel.Shaft {
		name = "Shaft " + cell.Name
	}
	id := html.EscapeString(cell.ID)
	b.WriteString(`<div role="group" class="cell js-cell" id="` + id + `" data-cell="` + id + `" aria-label="` + html.EscapeString(name) + `"`)
	if cell.Kind == kernel.Shaft {
		b.WriteString(` data-shaft="` + html.EscapeString(cell.Name) + `"`)
	}
	b.WriteString(`><div class="cell-actions">`)
	if cell.Kind == kernel.Shaft {
		b.WriteString(`<span class="name">` + html.EscapeString(name) + `</span>`)
	}
	take := html.EscapeString(lessons.Path(lesson)) + "/working/"
	b.WriteString(`<details class="cell-take js-take"><summary>Copy<span class="sr"> of ` + html.EscapeString(name) + `</span></summary>` +
		`<a class="js-copy" href="` + take + `text?cell=` + id + `">as text</a> <a class="js-copy" href="` + take + `tex?cell=` + id + `">as TeX</a> ` +
		`<a class="js-link" href="#` + id + `">link</a></details>`)
	b.WriteString(`<button type="button" class="plain js-restore needs-js" hidden>Restore the lesson’s text</button>`)
	b.WriteString(`<details class="cell-text js-text"><summary><span class="needs-no-js">Show the text</span><span class="needs-js when-shut">Edit</span><span class="needs-js when-open">Done</span></summary>`)
	b.WriteString(`<div class="editor js-editor"><textarea readonly spellcheck="false" autocapitalize="off" autocomplete="off" aria-label="Text of ` + html.EscapeString(name) + `" aria-describedby="editing">` + "\n")
	b.WriteString(html.EscapeString(cell.Text.Content))
	b.WriteString(`</textarea></div></details></div>`)
	b.WriteString(`<div class="rows js-rows">`)
	for i := range results {
		row, err := rows.Row(lesson, &results[i])
		if err != nil {
			return "", err
		}
		b.WriteString(cover.cover(&results[i], row, func(number int, guess string) string {
			return rows.Covered(lesson, &results[i], number, guess)
		}))
	}
	b.WriteString(`</div></div>`)
	return b.String(), nil
}
