package exercises

import (
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"gopkg.in/yaml.v3"

	"shaftbook/kernel/source"
)

// MaxBlock is the largest exercise that is read, in bytes.
const MaxBlock = 64 << 10

// A reader turns the YAML of one block into an exercise and gathers what is
// wrong with it.
type reader struct {
	text   *source.Text
	starts []int // byte offset of each line
	list   source.List
	places map[*source.Text]place
}

// A place says where in the block a text of its own comes from. If exact, it
// stands there letter by letter, from the offset on.
type place struct {
	at     source.Span
	exact  bool
	offset int
}

func newReader(text *source.Text) *reader {
	r := &reader{text: text, starts: []int{0}, places: map[*source.Text]place{}}
	for i, c := range []byte(text.Content) {
		if c == '\n' {
			r.starts = append(r.starts, i+1)
		}
	}
	return r
}

var yamlLine = regexp.MustCompile(`^yaml: (?:line (\d+): )?(.*)$`)

// document returns the root mapping, or nil after saying why there is none.
func (r *reader) document() *yaml.Node {
	if len(r.text.Content) > MaxBlock {
		r.list.Addf(r.line(1), CodeYAML, "this exercise is larger than %d kB", MaxBlock>>10).Repair = "divide it into several"
		return nil
	}
	decoder := yaml.NewDecoder(strings.NewReader(r.text.Content))
	var doc, rest yaml.Node
	if err := decoder.Decode(&doc); err != nil {
		r.badYAML(err)
		return nil
	}
	if err := decoder.Decode(&rest); !errors.Is(err, io.EOF) {
		r.list.Addf(r.span(&rest), CodeYAML, "the block goes on after its end").Repair = "an exercise has no line of ---"
		return nil
	}
	root := doc.Content[0]
	if root.Kind != yaml.MappingNode {
		r.list.Addf(r.span(root), CodeYAML, "an exercise is a list of keys with their values").Repair = "begin with title: …"
		return nil
	}
	return root
}

func (r *reader) badYAML(err error) {
	if errors.Is(err, io.EOF) {
		r.list.Addf(r.line(1), CodeYAML, "this exercise is empty").Repair = "begin with title: …"
		return
	}
	line, message := 1, err.Error()
	if m := yamlLine.FindStringSubmatch(message); m != nil {
		message = m[2]
		if n, err := strconv.Atoi(m[1]); err == nil {
			line = n
		}
	}
	r.list.Addf(r.line(line), CodeYAML, "this cannot be read as YAML: %s", message).
		Repair = "look at the indentation, and put a value that holds “: ”, “#” or begins with a sign between quotation marks"
}

// line returns the place of a whole line, counted from 1.
func (r *reader) line(n int) source.Span {
	n = min(max(n, 1), len(r.starts))
	start, end := r.starts[n-1], len(r.text.Content)
	if n < len(r.starts) {
		end = r.starts[n] - 1
	}
	return source.Span{Text: r.text, Start: start, End: max(start, end)}
}

// offset returns where a node starts. The decoder counts columns in
// characters.
func (r *reader) offset(n *yaml.Node) int {
	line := r.line(n.Line)
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

// span returns where a node stands: a scalar its text, anything else its first
// line.
func (r *reader) span(n *yaml.Node) source.Span {
	start := r.offset(n)
	end := r.line(n.Line).End
	if n.Kind == yaml.ScalarNode {
		if i := start + len(n.Value) + 2*quotes(n); i <= end && n.Style&(yaml.LiteralStyle|yaml.FoldedStyle) == 0 {
			end = i
		}
	}
	return source.Span{Text: r.text, Start: start, End: max(end, start)}
}

func quotes(n *yaml.Node) int {
	if n.Style&(yaml.DoubleQuotedStyle|yaml.SingleQuotedStyle) != 0 {
		return 1
	}
	return 0
}

// fields gives each value of a mapping to the function of its key, in the order
// in which they stand, and reports keys that are unknown or stand twice.
func (r *reader) fields(n *yaml.Node, what string, keys map[string]func(*yaml.Node)) map[string]*yaml.Node {
	found := map[string]*yaml.Node{}
	if n.Kind != yaml.MappingNode {
		r.list.Addf(r.span(n), CodeValue, "%s is a list of keys with their values", what).Repair = "its keys are " + keyList(keys)
		return found
	}
	for i := 0; i+1 < len(n.Content); i += 2 {
		key, value := n.Content[i], n.Content[i+1]
		read, known := keys[key.Value]
		switch {
		case key.Kind != yaml.ScalarNode || !known:
			r.list.Addf(r.span(key), CodeKey, "%s has no key “%s”", what, key.Value).Repair = "its keys are " + keyList(keys)
		case found[key.Value] != nil:
			r.list.Addf(r.span(key), CodeKey, "%s stands here a second time", key.Value).Repair = "keep one of the two"
		default:
			found[key.Value] = value
			read(value)
		}
	}
	return found
}

func keyList(keys map[string]func(*yaml.Node)) string {
	names := make([]string, 0, len(keys))
	for k := range keys {
		names = append(names, k)
	}
	slices.Sort(names)
	return strings.Join(names, ", ")
}

// scalar returns the text of a value, "" after saying that there is none.
func (r *reader) scalar(n *yaml.Node, what string) (string, bool) {
	if n.Kind != yaml.ScalarNode {
		r.list.Addf(r.span(n), CodeValue, "%s is one value", what).Repair = "write it on one line, between quotation marks if it holds “, ” or “: ”"
		return "", false
	}
	if strings.TrimSpace(n.Value) == "" {
		r.list.Addf(r.span(n), CodeValue, "%s is empty", what).Repair = "write its value, or leave the key out"
		return "", false
	}
	return n.Value, true
}

// words reads a sentence.
func (r *reader) words(into *string, what string) func(*yaml.Node) {
	return func(n *yaml.Node) {
		if s, ok := r.scalar(n, what); ok {
			*into = strings.Join(strings.Fields(s), " ")
		}
	}
}

// number reads a number within limits.
func (r *reader) number(n *yaml.Node, what string, least, most float64) (float64, bool) {
	s, ok := r.scalar(n, what)
	if !ok {
		return 0, false
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil || !(v >= least && v <= most) {
		r.list.Addf(r.span(n), CodeValue, "%s is a number from %g to %g", what, least, most).Repair = fmt.Sprintf("write a plain number, such as %s: %g", what, max(least, 1))
		return 0, false
	}
	return v, true
}

// truth reads yes or no.
func (r *reader) truth(into *bool, what string) func(*yaml.Node) {
	return func(n *yaml.Node) {
		switch s, _ := r.scalar(n, what); s {
		case "yes", "true":
			*into = true
		case "no", "false":
			*into = false
		default:
			r.list.Addf(r.span(n), CodeValue, "%s is yes or no", what).Repair = "write " + what + ": yes"
		}
	}
}

// items returns the parts of a list; a single value counts as a list of one.
func (r *reader) items(n *yaml.Node) []*yaml.Node {
	if n.Kind == yaml.SequenceNode {
		return n.Content
	}
	return []*yaml.Node{n}
}

// textOf returns a scalar as a text of its own, with a prefix before it, and
// notes where it comes from.
func (r *reader) textOf(n *yaml.Node, prefix string) *source.Text {
	content, at, exact := n.Value, r.span(n), false
	offset := at.Start + quotes(n)
	if n.Style&yaml.LiteralStyle != 0 {
		if raw, from, ok := r.rawLines(n); ok {
			content, offset, exact = raw, from, true
			at = source.Span{Text: r.text, Start: from, End: from + len(raw)}
		}
	} else if n.Style&yaml.FoldedStyle == 0 {
		exact = strings.HasPrefix(r.text.Content[min(offset, len(r.text.Content)):], content)
	}
	t := &source.Text{Name: r.text.Name, Content: prefix + content, FirstLine: at.Position().Line}
	r.places[t] = place{at: at, exact: exact, offset: offset - len(prefix)}
	return t
}

// rawLines returns the lines of a literal block with their indentation, so that
// columns count as they do in the file.
func (r *reader) rawLines(n *yaml.Node) (raw string, from int, ok bool) {
	count := strings.Count(strings.TrimRight(n.Value, "\n"), "\n") + 1
	first, last := n.Line+1, n.Line+count
	if last > len(r.starts) {
		return "", 0, false
	}
	from = r.starts[first-1]
	raw = r.text.Content[from:r.line(last).End]
	return raw, from, sameLines(raw, n.Value)
}

func sameLines(a, b string) bool {
	x, y := strings.Split(a, "\n"), strings.Split(strings.TrimRight(b, "\n"), "\n")
	return slices.EqualFunc(x, y, func(p, q string) bool { return strings.TrimSpace(p) == strings.TrimSpace(q) })
}

// locate moves diagnostics from the texts of an exercise's parts to the block.
func locate(list source.List, places map[*source.Text]place) source.List {
	out := make(source.List, 0, len(list))
	for _, d := range list {
		d.Fix = nil // it would replace a piece of a text that is not the author's
		d.Span = moved(d.Span, places)
		related := make([]source.Related, 0, len(d.Related))
		for _, r := range d.Related {
			r.Span = moved(r.Span, places)
			related = append(related, r)
		}
		d.Related = related
		out = append(out, d)
	}
	return out
}

func moved(s source.Span, places map[*source.Text]place) source.Span {
	p, ok := places[s.Text]
	if !ok {
		return s
	}
	if !p.exact {
		return p.at
	}
	start, end := p.offset+s.Start, p.offset+s.End
	start = max(start, p.at.Start)
	return source.Span{Text: p.at.Text, Start: start, End: max(start, end)}
}
