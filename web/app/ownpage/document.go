package ownpage

import (
	"maps"
	"slices"
	"strconv"
	"strings"

	"shaftbook/kernel/pattern"
	"shaftbook/lessons"
)

// numbersName is the name of the calculation cell that holds the numbers of a run.
const numbersName = "numbers"

// A Document is the text of a page, read: Markdown as lessons have it, with the
// page's name as its first heading, a derivation, and a calculation cell with the
// numbers with which the derivation is run. Whatever else the text holds stays as
// it is.
type Document struct {
	text   string // with line ends \n
	lesson *lessons.Lesson
}

// Read reads a document. Reading never fails; what a text lacks is empty.
func Read(text string) Document {
	l, _ := lessons.Parse("page", []byte(text)) // what is wrong with it as a lesson is not a fault of a page
	return Document{l.Text.Content, l}
}

// Text returns the whole document.
func (d Document) Text() string { return d.text }

var headingLine = pattern.New(`(?m)^# (.*)\n?`)

// Name returns the text of the first heading.
func (d Document) Name() string {
	at := d.heading()
	if at == nil {
		return ""
	}
	return unescape(strings.TrimSpace(d.text[at[2]:at[3]]))
}

// titleLine is the line of the front matter that names a lesson.
var titleLine = pattern.New(`(?m)^title:.*$`)

// WithName returns the document under another name, of one line. A lesson has its name
// in its front matter.
func (d Document) WithName(name string) Document {
	if blocks := lessons.Blocks(d.text); len(blocks) > 0 && blocks[0].Kind == lessons.Head {
		if at := titleLine().FindStringIndex(blocks[0].Raw); at != nil {
			return Read(d.text[:at[0]] + "title: " + strconv.Quote(name) + d.text[at[1]:])
		}
	}
	line := "# " + escape(name) + "\n"
	at := d.heading()
	if at == nil {
		if d.text != "" {
			line += "\n"
		}
		return Read(line + d.text)
	}
	return Read(d.text[:at[0]] + line + d.text[at[1]:])
}

// heading returns the places of the first heading and of its text, or nil. A # in
// a cell begins a comment, so the heading lies above the first cell.
func (d Document) heading() []int {
	end := len(d.text)
	if len(d.lesson.Cells) > 0 {
		end = d.lineStart(d.lesson.Cells[0].Line)
	}
	return headingLine().FindStringSubmatchIndex(d.text[:end])
}

// Derivation returns the text of the derivation. A cell ends with a line end that
// is not part of it.
func (d Document) Derivation() string {
	cell, ok := d.derivation()
	if !ok {
		return ""
	}
	return strings.TrimSuffix(cell.Text.Content, "\n")
}

// WithDerivation returns the document with another derivation.
func (d Document) WithDerivation(text string) Document {
	cell, there := d.derivation()
	if there && d.Derivation() == text {
		return d
	}
	block := fenced(strings.TrimSpace(lessons.Derive.String()+" "+cell.Name), text)
	if !there {
		return Read(appended(d.text, block))
	}
	return d.replaced(cell, block)
}

func (d Document) derivation() (lessons.Cell, bool) {
	cells := d.lesson.CellsOf(lessons.Derive)
	if len(cells) == 0 {
		return lessons.Cell{}, false
	}
	return cells[0], true
}

// Numbers returns the numbers for a run by the names that they are for, as typed.
func (d Document) Numbers() map[string]string {
	numbers := map[string]string{}
	cell, ok := d.numbers()
	if !ok {
		return numbers
	}
	for line := range strings.Lines(cell.Text.Content) {
		if name, text, found := strings.Cut(strings.TrimSuffix(line, "\n"), " = "); found {
			numbers[name] = text
		}
	}
	return numbers
}

// WithNumbers returns the document with other numbers, each a line of its own.
// Those that are empty, and names that cannot be names, are left out.
func (d Document) WithNumbers(numbers map[string]string) Document {
	numbers = Sound(numbers)
	cell, there := d.numbers()
	if maps.Equal(numbers, d.Numbers()) {
		return d
	}
	var lines []string
	for _, name := range slices.Sorted(maps.Keys(numbers)) {
		lines = append(lines, name+" = "+numbers[name])
	}
	block := ""
	if len(lines) > 0 {
		block = fenced(lessons.Calc.String()+" "+numbersName, strings.Join(lines, "\n"))
	}
	if there {
		return d.replaced(cell, block)
	}
	if at, ok := d.derivation(); ok {
		start := d.lineStart(at.Line)
		return Read(d.text[:start] + block + "\n" + d.text[start:])
	}
	return Read(appended(d.text, block))
}

func (d Document) numbers() (lessons.Cell, bool) {
	for _, c := range d.lesson.CellsOf(lessons.Calc) {
		if c.Name == numbersName {
			return c, true
		}
	}
	return lessons.Cell{}, false
}

// nameOfNumber is made when it is first used: it is large.
var nameOfNumber = pattern.New(`^\p{L}[\p{L}\p{M}\p{N}_′']{0,63}$`)

// Sound returns numbers as a document keeps them: of one line, without those that
// are empty and without names that cannot be names.
func Sound(numbers map[string]string) map[string]string {
	sound := map[string]string{}
	for name, text := range numbers {
		text = strings.Join(strings.Fields(text), " ")
		if text != "" && nameOfNumber().MatchString(name) {
			sound[name] = text
		}
	}
	return sound
}

// lineStart returns the place where a line begins, from 1.
func (d Document) lineStart(line int) int {
	at := 0
	for range line - 1 {
		end := strings.IndexByte(d.text[at:], '\n')
		if end < 0 {
			return len(d.text)
		}
		at += end + 1
	}
	return at
}

// replaced puts a block in the place of a cell. An empty block takes the empty
// line after the cell with it.
func (d Document) replaced(c lessons.Cell, block string) Document {
	start := d.lineStart(c.Line)
	end := d.lineStart(c.Line + strings.Count(c.Text.Content, "\n") + 2)
	if rest := d.text[end:]; block == "" && strings.HasPrefix(rest, "\n") {
		end++
	}
	return Read(d.text[:start] + block + d.text[end:])
}

// fenced writes a cell. Its fence is longer than any row of backticks in it.
func fenced(info, text string) string {
	fence := "```"
	for strings.Contains(text, fence) {
		fence += "`"
	}
	return fence + info + "\n" + text + "\n" + fence + "\n"
}

func appended(text, block string) string {
	if text != "" && !strings.HasSuffix(text, "\n") {
		text += "\n"
	}
	if text != "" && block != "" && !strings.HasSuffix(text, "\n\n") {
		text += "\n"
	}
	return text + block
}

// marks are the characters that mean something in a heading.
const marks = "\\`*_{}[]<>()#$&~|!^"

func escape(name string) string {
	var b strings.Builder
	for _, r := range name {
		if strings.ContainsRune(marks, r) {
			b.WriteByte('\\')
		}
		b.WriteRune(r)
	}
	return b.String()
}

func unescape(line string) string {
	var b strings.Builder
	escaped := false
	for _, r := range line {
		if escaped = r == '\\' && !escaped; escaped {
			continue
		}
		b.WriteRune(r)
	}
	return b.String()
}
