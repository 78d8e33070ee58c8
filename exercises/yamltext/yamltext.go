// Package yamltext reads YAML that is a piece of a larger text and finds the
// place in that text of every node, so that messages can point at it.
//
// Start with New, then Reader.Root.
package yamltext

import (
	"errors"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"

	"shaftbook/kernel/pattern"
	"shaftbook/kernel/source"
)

// A Reader reads one piece of YAML.
type Reader struct {
	text    *source.Text
	base    int // offset of the piece in the text
	content string
	starts  []int // offset in content of each line
}

// New returns a reader of the bytes of a text from start to end.
func New(text *source.Text, start, end int) *Reader {
	r := &Reader{text: text, base: start, content: text.Content[start:end], starts: []int{0}}
	for i, c := range []byte(r.content) {
		if c == '\n' {
			r.starts = append(r.starts, i+1)
		}
	}
	return r
}

// ErrMore is the error of a piece that holds more than one document.
var ErrMore = errors.New("there is more after the end of the document")

// An Error is why a piece cannot be read, with the place.
type Error struct {
	Span source.Span
	Err  error // ErrMore, or the library's without its line number
}

func (e *Error) Error() string { return e.Err.Error() }

// Unwrap returns the cause.
func (e *Error) Unwrap() error { return e.Err }

// Root returns the root of the only document, or nil if the piece is empty. The
// error is an [*Error].
func (r *Reader) Root() (*yaml.Node, error) {
	decoder := yaml.NewDecoder(strings.NewReader(r.content))
	var doc, rest yaml.Node
	switch err := decoder.Decode(&doc); {
	case errors.Is(err, io.EOF):
		return nil, nil
	case err != nil:
		return nil, r.located(err)
	}
	if err := decoder.Decode(&rest); !errors.Is(err, io.EOF) {
		return nil, &Error{r.Span(&rest), ErrMore}
	}
	return doc.Content[0], nil
}

var messageWithLine = pattern.New(`^yaml: (?:line (\d+): )?(.*)$`)

// located finds the line of an error, which the library gives in words.
func (r *Reader) located(err error) error {
	line, message := 1, err.Error()
	if m := messageWithLine().FindStringSubmatch(message); m != nil {
		message = m[2]
		if n, err := strconv.Atoi(m[1]); err == nil {
			line = n
		}
	}
	return &Error{r.Line(line), errors.New(message)}
}

// Lines returns the number of lines.
func (r *Reader) Lines() int { return len(r.starts) }

// Line returns the place of a whole line, counted from 1.
func (r *Reader) Line(n int) source.Span {
	n = min(max(n, 1), len(r.starts))
	start, end := r.starts[n-1], len(r.content)
	if n < len(r.starts) {
		end = r.starts[n] - 1
	}
	return source.Span{Text: r.text, Start: r.base + start, End: r.base + max(start, end)}
}

// Span returns the place of a node: of a scalar its text with its quotation
// marks, of anything else, and of a scalar of several lines, the rest of its
// first line.
func (r *Reader) Span(n *yaml.Node) source.Span {
	start, end := r.offset(n), r.Line(n.Line).End
	if n.Kind == yaml.ScalarNode && n.Style&(yaml.LiteralStyle|yaml.FoldedStyle) == 0 {
		if i := start + len(n.Value) + 2*Quotes(n); i <= end {
			end = i
		}
	}
	return source.Span{Text: r.text, Start: start, End: max(end, start)}
}

// offset returns where a node starts. The library counts columns in characters.
func (r *Reader) offset(n *yaml.Node) int {
	line := r.Line(n.Line)
	at := line.Start
	for range n.Column - 1 {
		if at >= line.End {
			break
		}
		_, size := utf8.DecodeRuneInString(r.text.Content[at:])
		at += size
	}
	return at
}

// Quotes returns the number of bytes of the quotation mark before a scalar.
func Quotes(n *yaml.Node) int {
	if n.Style&(yaml.DoubleQuotedStyle|yaml.SingleQuotedStyle) != 0 {
		return 1
	}
	return 0
}
