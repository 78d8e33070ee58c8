package reader

import (
	"bytes"
	"html/template"
	"io"
	"strconv"
	"strings"

	"shaftbook/kernel"
	"shaftbook/lessons"
	"shaftbook/web/page"
)

// covers are the pieces of a page that stay covered until guesses are made. Each leaves a
// gap in the page that all learners share.
type covers struct {
	covering *lessons.Covering
	pieces   []covered
}

type covered struct {
	guesses    []string // IDs; it is open when all of them are made
	open, shut string
}

func coverGap(number int) string { return "<!--cover " + strconv.Itoa(number) + "-->" }

func guessGap(id string) string { return "<!--guess " + id + "-->" }

// add returns what the page has in the place of open: a gap, or open itself where no
// guess that can be made covers it.
func (c *covers) add(guesses []string, open string, shut func(number int, guess string) string) string {
	var ids []string
	for _, id := range guesses {
		if _, ok := c.covering.Truths[id]; ok {
			ids = append(ids, id)
		}
	}
	if len(ids) == 0 {
		return open
	}
	number := len(c.pieces)
	c.pieces = append(c.pieces, covered{ids, open, shut(number, ids[0])})
	return coverGap(number)
}

// row covers what a statement shows; it is a [page.Cover].
func (c *covers) row(r *kernel.Result, open string, shut func(number int, guess string) string) string {
	return c.add(c.covering.Of(r), open, shut)
}

// number writes a number of the prose.
func (c *covers) number(w io.Writer, number int, open string) error {
	_, err := io.WriteString(w, c.add(c.covering.Numbers[number].Guesses, open, func(n int, _ string) string { return page.CoveredNumber(n, open) }))
	return err
}

// fill puts what is open, or what stands in its place, into the gaps of a page. isMade
// reports whether a guess was made.
func (c *covers) fill(gaps map[string][]byte, isMade func(id string) bool) {
	for i, p := range c.pieces {
		body := p.shut
		if p.isOpen(isMade) {
			body = p.open
		}
		gaps[coverGap(i)] = []byte(body)
	}
}

// opened returns the pieces that are open and that one guess covered, by number.
func (c *covers) opened(guess string, isMade func(id string) bool) map[string]string {
	open := map[string]string{}
	for i, p := range c.pieces {
		for _, id := range p.guesses {
			if id == guess && p.isOpen(isMade) {
				open[strconv.Itoa(i)] = p.open
			}
		}
	}
	return open
}

func (p covered) isOpen(isMade func(id string) bool) bool {
	for _, id := range p.guesses {
		if !isMade(id) {
			return false
		}
	}
	return true
}

// onBoard fills the gaps of a page with what stands in the place of covered pieces, and
// puts the pieces behind it, inert, with the guesses that open them.
func (c *covers) onBoard(text []byte) []byte {
	var all strings.Builder
	for i, p := range c.pieces {
		text = bytes.Replace(text, []byte(coverGap(i)), []byte(p.shut), 1)
		all.WriteString(`<div data-cover="` + strconv.Itoa(i) + `" data-guesses="` + template.HTMLEscapeString(strings.Join(p.guesses, " ")) + `">` + p.open + "</div>\n")
	}
	if all.Len() == 0 {
		return text
	}
	return append(text, "<template class=\"js-covers\">"+all.String()+"</template>\n"...)
}

// gaps returns the gaps of guesses and of what they cover.
func (c *covers) gaps(l *lessons.Lesson) []string {
	var all []string
	for _, cell := range l.CellsOf(lessons.Guess) {
		all = append(all, guessGap(cell.ID))
	}
	for i := range c.pieces {
		all = append(all, coverGap(i))
	}
	return all
}

// withoutCovers fills the gaps of a page with what is covered.
func (c *covers) withoutCovers(text []byte) []byte {
	for i, p := range c.pieces {
		text = bytes.Replace(text, []byte(coverGap(i)), []byte(p.open), 1)
	}
	return text
}
