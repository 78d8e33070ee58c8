package guess

import (
	"errors"
	"maps"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"

	"shaftbook/exercises/yamltext"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
)

// MaxBlock is the largest guess that is read, in bytes.
const MaxBlock = 16 << 10

// A reader turns the YAML of one block into a guess and gathers what is wrong with it.
type reader struct {
	*yamltext.Reader
	text   *source.Text
	list   source.List
	places map[*source.Text]place
}

// A place is where in the block an expression comes from. If exact, it is there letter
// by letter, from the offset on.
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
		r.list.Addf(r.Line(1), CodeYAML, "this guess is larger than %d kB", MaxBlock>>10).Repair = "ask one thing, with short options"
		return nil
	}
	root, err := r.Root()
	switch {
	case err != nil:
		r.badYAML(err)
	case root == nil:
		r.list.Addf(r.Line(1), CodeYAML, "this guess is empty").Repair = "begin with ask: …"
	case root.Kind != yaml.MappingNode:
		r.list.Addf(r.Span(root), CodeYAML, "a guess is a list of keys with their values").Repair = "begin with ask: …"
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

// fields gives each value of a mapping to the function of its key, in the order in
// which they are written, and reports keys that are unknown or occur twice.
func (r *reader) fields(n *yaml.Node, what string, keys map[string]func(*yaml.Node)) map[string]*yaml.Node {
	found := map[string]*yaml.Node{}
	known := strings.Join(slices.Sorted(maps.Keys(keys)), ", ")
	if n.Kind != yaml.MappingNode {
		r.list.Addf(r.Span(n), CodeValue, "%s is a list of keys with their values", what).Repair = "its keys are " + known
		return found
	}
	for i := 0; i+1 < len(n.Content); i += 2 {
		key, value := n.Content[i], n.Content[i+1]
		read, ok := keys[key.Value]
		switch {
		case key.Kind != yaml.ScalarNode || !ok:
			r.list.Addf(r.Span(key), CodeKey, "%s has no key “%s”", what, key.Value).Repair = "its keys are " + known
		case found[key.Value] != nil:
			r.list.Addf(r.Span(key), CodeKey, "%s occurs a second time", key.Value).Repair = "keep one of the two"
		default:
			found[key.Value] = value
			read(value)
		}
	}
	return found
}

// nodes returns the parts of a list; a single value counts as a list of one.
func (r *reader) nodes(n *yaml.Node) []*yaml.Node {
	if n.Kind == yaml.SequenceNode {
		return n.Content
	}
	return []*yaml.Node{n}
}

// scalar returns the text of a value; ok is false after reporting that it is missing.
func (r *reader) scalar(n *yaml.Node, what string) (s string, ok bool) {
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

// expr reads an expression of the notation, nil after reporting what is wrong.
func (r *reader) expr(n *yaml.Node, what string) notation.Expr {
	if _, ok := r.scalar(n, what); !ok {
		return nil
	}
	x, list := notation.ParseExpr(r.textOf(n, ""))
	r.list = append(r.list, locate(list, r.places)...)
	if list.HasErrors() {
		return nil
	}
	return x
}

// textOf returns a scalar as a text of its own, with a prefix before it, and notes
// where it comes from.
func (r *reader) textOf(n *yaml.Node, prefix string) *source.Text {
	at := r.Span(n)
	offset := at.Start + yamltext.Quotes(n)
	exact := n.Style&(yaml.FoldedStyle|yaml.LiteralStyle) == 0 &&
		strings.HasPrefix(r.text.Content[min(offset, len(r.text.Content)):], n.Value)
	t := &source.Text{Name: r.text.Name, Content: prefix + n.Value, FirstLine: at.Position().Line}
	r.places[t] = place{at: at, exact: exact, offset: offset - len(prefix)}
	return t
}

// locate moves diagnostics from the texts of expressions to the block.
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
