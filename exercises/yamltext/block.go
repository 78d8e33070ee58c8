package yamltext

import (
	"errors"
	"maps"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"

	"shaftbook/kernel/source"
)

// A Form is what a kind of block is called in messages, and what they are filed under.
type Form struct {
	Noun string // "this exercise is empty" has "exercise"
	A    string // the noun with its article
	Most int    // largest block that is read, in bytes
	// First is how a block begins, and Smaller the way out of one that is too large.
	First, Smaller string
	YAML           source.Code // the block cannot be read as YAML
	Key            source.Code // a key that is not known, occurs twice, or is needed
	Value          source.Code // a value of the wrong kind
}

// A Block reads one text that is YAML as a whole: a mapping of keys known beforehand,
// some of whose values are texts of another notation. It gathers what is wrong.
type Block struct {
	*Reader
	Text   *source.Text
	List   source.List
	Places Places
	form   Form
}

// NewBlock returns the reader of a block.
func NewBlock(text *source.Text, form Form) *Block {
	return &Block{Reader: New(text, 0, len(text.Content)), Text: text, Places: Places{}, form: form}
}

// Document returns the root mapping, or nil after reporting why it cannot be read.
func (b *Block) Document() *yaml.Node {
	f := b.form
	if len(b.Text.Content) > f.Most {
		b.List.Addf(b.Line(1), f.YAML, "this %s is larger than %d kB", f.Noun, f.Most>>10).Repair = f.Smaller
		return nil
	}
	root, err := b.Root()
	switch {
	case err != nil:
		b.badYAML(err)
	case root == nil:
		b.List.Addf(b.Line(1), f.YAML, "this %s is empty", f.Noun).Repair = "begin with " + f.First
	case root.Kind != yaml.MappingNode:
		b.List.Addf(b.Span(root), f.YAML, "%s is a list of keys with their values", f.A).Repair = "begin with " + f.First
	default:
		return root
	}
	return nil
}

func (b *Block) badYAML(err error) {
	at := b.Line(1)
	var located *Error
	if errors.As(err, &located) {
		at = located.Span
	}
	if errors.Is(err, ErrMore) {
		b.List.Addf(at, b.form.YAML, "there is text after the end of the block").Repair = "remove the line ---"
		return
	}
	b.List.Addf(at, b.form.YAML, "this cannot be read as YAML: %s", err).
		Repair = "look at the indentation, and put a value that holds “: ”, “#” or begins with a sign between quotation marks"
}

// Fields gives each value of a mapping to the function of its key, in the order in
// which they are written, and reports keys that are unknown or occur twice.
func (b *Block) Fields(n *yaml.Node, what string, keys map[string]func(*yaml.Node)) map[string]*yaml.Node {
	found := map[string]*yaml.Node{}
	known := func() string { return "its keys are " + strings.Join(slices.Sorted(maps.Keys(keys)), ", ") }
	if n.Kind != yaml.MappingNode {
		b.List.Addf(b.Span(n), b.form.Value, "%s is a list of keys with their values", what).Repair = known()
		return found
	}
	for i := 0; i+1 < len(n.Content); i += 2 {
		key, value := n.Content[i], n.Content[i+1]
		read, ok := keys[key.Value]
		switch {
		case key.Kind != yaml.ScalarNode || !ok:
			b.List.Addf(b.Span(key), b.form.Key, "%s has no key “%s”", what, key.Value).Repair = known()
		case found[key.Value] != nil:
			b.List.Addf(b.Span(key), b.form.Key, "%s occurs a second time", key.Value).Repair = "keep one of the two"
		default:
			found[key.Value] = value
			read(value)
		}
	}
	return found
}

// Items returns the parts of a list; a single value counts as a list of one.
func (b *Block) Items(n *yaml.Node) []*yaml.Node {
	if n.Kind == yaml.SequenceNode {
		return n.Content
	}
	return []*yaml.Node{n}
}

// Scalar returns the text of a value; ok is false after reporting that it is missing.
func (b *Block) Scalar(n *yaml.Node, what string) (s string, ok bool) {
	if n.Kind != yaml.ScalarNode {
		b.List.Addf(b.Span(n), b.form.Value, "%s is one value", what).Repair = "write it on one line, between quotation marks if it holds “, ” or “: ”"
		return "", false
	}
	if strings.TrimSpace(n.Value) == "" {
		b.List.Addf(b.Span(n), b.form.Value, "%s is empty", what).Repair = "write its value, or remove the key"
		return "", false
	}
	return n.Value, true
}

// Words reads a sentence.
func (b *Block) Words(into *string, what string) func(*yaml.Node) {
	return func(n *yaml.Node) {
		if s, ok := b.Scalar(n, what); ok {
			*into = strings.Join(strings.Fields(s), " ")
		}
	}
}

// Truth reads yes or no.
func (b *Block) Truth(into *bool, what string) func(*yaml.Node) {
	return func(n *yaml.Node) {
		switch s, _ := b.Scalar(n, what); s {
		case "yes", "true":
			*into = true
		case "no", "false":
			*into = false
		default:
			b.List.Addf(b.Span(n), b.form.Value, "%s is yes or no", what).Repair = "write " + what + ": yes"
		}
	}
}
