package handout

import (
	"unicode/utf8"

	"shaftbook/lessons"
)

// An item is a box on a line, or a place where the line may end (a space).
type item struct {
	box
	space bool
}

// prose sets the words of an exercise, which are Markdown within one paragraph.
func (p *press) prose(s string, l letter) []item {
	var items []item
	for _, run := range lessons.InlineRuns(s) {
		in := l
		switch {
		case run.Formula != nil && in.style == "I":
			in.style = ""
		case run.Strong:
			in.style = "B"
		case run.Emphasis && run.Formula == nil:
			in.style = "I"
		}
		if run.Formula != nil {
			items = append(items, item{box: p.formula(run.Formula, run.TeX, in, false)})
			continue
		}
		items = append(items, p.plain(run.Text, in)...)
	}
	return items
}

// longWord is after how many letters a word may be broken, if it must be.
const longWord = 24

// plain sets words without marks.
func (p *press) plain(s string, l letter) []item {
	var items []item
	word := ""
	flush := func() {
		if word != "" {
			items = append(items, item{box: p.text(word, l)})
		}
		word = ""
	}
	for _, r := range s {
		if utf8.RuneCountInString(word) == longWord {
			flush()
		}
		if r == ' ' || r == '\n' || r == '\t' {
			flush()
			if len(items) == 0 || !items[len(items)-1].space {
				items = append(items, item{box: p.text(" ", l), space: true})
			}
			continue
		}
		word += string(r)
	}
	flush()
	return items
}

// lines breaks items into lines of at most a width, the further ones further in
// by hang. A single item that is wider gets a line of its own.
func lines(items []item, width, hang float64) []box {
	var out []box
	var line []item
	used, room := 0.0, width
	flush := func() {
		for len(line) > 0 && line[len(line)-1].space {
			line = line[:len(line)-1]
		}
		if len(line) > 0 {
			boxes := []box{gap(width - room)}
			for _, it := range line {
				boxes = append(boxes, it.box)
			}
			out = append(out, row(boxes...))
		}
		line, used, room = nil, 0, width-hang
	}
	put := func(it item) {
		line = append(line, it)
		used += it.w
	}
	for i := 0; i < len(items); {
		// A word is all items up to the next space: letters may change in it.
		j, w := i, 0.0
		for j < len(items) && !items[j].space {
			w += items[j].w
			j++
		}
		if j == i {
			if len(line) > 0 {
				put(items[i])
			}
			i++
			continue
		}
		if used+w > room && len(line) > 0 {
			flush()
		}
		for _, it := range items[i:j] {
			if used+it.w > room && len(line) > 0 {
				flush() // the word is too long for any line
			}
			put(it)
		}
		i = j
	}
	flush()
	return out
}
