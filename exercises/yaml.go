package exercises

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"

	"shaftbook/exercises/yamltext"
	"shaftbook/kernel/source"
)

// MaxBlock is the largest exercise that is read, in bytes.
const MaxBlock = 64 << 10

// A reader turns the YAML of one block into an exercise and gathers what is
// wrong with it.
type reader struct {
	*yamltext.Reader
	text   *source.Text
	list   source.List
	places map[*source.Text]place
}

// A place is where in the block a text of its own comes from. If exact, it is
// there letter by letter, from the offset on.
type place struct {
	at     source.Span
	exact  bool
	offset int
}

func newReader(text *source.Text) *reader {
	return &reader{Reader: yamltext.New(text, 0, len(text.Content)), text: text, places: map[*source.Text]place{}}
}

// document returns the root mapping, or nil after reporting why it cannot be read.
func (r *reader) document() *yaml.Node {
	if len(r.text.Content) > MaxBlock {
		r.list.Addf(r.Line(1), CodeYAML, "this exercise is larger than %d kB", MaxBlock>>10).Repair = "split it into several"
		return nil
	}
	root, err := r.Root()
	switch {
	case err != nil:
		r.badYAML(err)
	case root == nil:
		r.list.Addf(r.Line(1), CodeYAML, "this exercise is empty").Repair = "begin with title: …"
	case root.Kind != yaml.MappingNode:
		r.list.Addf(r.Span(root), CodeYAML, "an exercise is a list of keys with their values").Repair = "begin with title: …"
	default:
		return root
	}
	return nil
}

func (r *reader) badYAML(err error) {
	at := r.Line(1)
	var located *yamltext.Error
	if errors.As(err, &located) {
		at = located.Span
	}
	if errors.Is(err, yamltext.ErrMore) {
		r.list.Addf(at, CodeYAML, "there is text after the end of the block").Repair = "remove the line ---"
		return
	}
	r.list.Addf(at, CodeYAML, "this cannot be read as YAML: %s", err).
		Repair = "look at the indentation, and put a value that holds “: ”, “#” or begins with a sign between quotation marks"
}

// fields gives each value of a mapping to the function of its key, in the order
// in which they are written, and reports keys that are unknown or occur twice.
func (r *reader) fields(n *yaml.Node, what string, keys map[string]func(*yaml.Node)) map[string]*yaml.Node {
	found := map[string]*yaml.Node{}
	if n.Kind != yaml.MappingNode {
		r.list.Addf(r.Span(n), CodeValue, "%s is a list of keys with their values", what).Repair = "its keys are " + keyList(keys)
		return found
	}
	for i := 0; i+1 < len(n.Content); i += 2 {
		key, value := n.Content[i], n.Content[i+1]
		read, known := keys[key.Value]
		switch {
		case key.Kind != yaml.ScalarNode || !known:
			r.list.Addf(r.Span(key), CodeKey, "%s has no key “%s”", what, key.Value).Repair = "its keys are " + keyList(keys)
		case found[key.Value] != nil:
			r.list.Addf(r.Span(key), CodeKey, "%s occurs a second time", key.Value).Repair = "keep one of the two"
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

// scalar returns the text of a value, "" after reporting that it is missing.
func (r *reader) scalar(n *yaml.Node, what string) (string, bool) {
	if n.Kind != yaml.ScalarNode {
		r.list.Addf(r.Span(n), CodeValue, "%s is one value", what).Repair = "write it on one line, between quotation marks if it holds “, ” or “: ”"
		return "", false
	}
	if strings.TrimSpace(n.Value) == "" {
		r.list.Addf(r.Span(n), CodeValue, "%s is empty", what).Repair = "write its value, or remove the key"
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
		r.list.Addf(r.Span(n), CodeValue, "%s is a number from %g to %g", what, least, most).Repair = fmt.Sprintf("write a plain number, such as %s: %g", what, max(least, 1))
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
			r.list.Addf(r.Span(n), CodeValue, "%s is yes or no", what).Repair = "write " + what + ": yes"
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
	content, at, exact := n.Value, r.Span(n), false
	offset := at.Start + yamltext.Quotes(n)
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
	if last > r.Lines() {
		return "", 0, false
	}
	from = r.Line(first).Start
	raw = r.text.Content[from:r.Line(last).End]
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
		d.Fix, d.Choices = nil, nil // it would replace a piece of a text that is not the author's
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
