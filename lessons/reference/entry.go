package reference

import (
	"strings"

	"go.yaml.in/yaml/v3"

	"shaftbook/exercises/yamltext"
	"shaftbook/kernel/pattern"
	"shaftbook/kernel/source"
)

// reader reads one file, and keeps what is wrong with it.
type reader struct {
	yaml *yamltext.Reader
	list source.List
}

// A field reads the value of one key.
type field struct {
	key      string
	required bool
	read     func(v *yaml.Node) (repair string) // "" if the value is good, or what is wrong was reported
}

// entry reads a mapping by its fields and reports whether all of it was good. What it is
// called follows "an entry of".
func (y *reader) entry(item *yaml.Node, what string, fields ...field) bool {
	var names []string
	for _, f := range fields {
		names = append(names, f.key)
	}
	keys := "the keys are " + strings.Join(names, ", ")
	if item.Kind != yaml.MappingNode {
		y.reject(item, "an entry of "+what, "write lines of key: value; "+keys)
		return false
	}
	before := len(y.list)
	seen := map[string]bool{}
	for i := 0; i+1 < len(item.Content); i += 2 {
		key, value := item.Content[i], item.Content[i+1]
		f := fieldOf(fields, key.Value)
		switch {
		case f == nil:
			y.list.Addf(y.yaml.Span(key), CodeKey, "an entry of %s has no key “%s”", what, key.Value).Repair = keys
			continue
		case seen[key.Value]:
			y.list.Addf(y.yaml.Span(key), CodeKey, "a second %s", key.Value).Repair = "remove one of them"
			continue
		}
		seen[key.Value] = true
		if repair := f.read(value); repair != "" {
			y.reject(value, "the "+key.Value+" of an entry of "+what, repair)
		}
	}
	for _, f := range fields {
		if f.required && !seen[f.key] {
			y.list.Addf(y.yaml.Span(item), CodeKey, "this entry of %s has no %s", what, f.key).Repair = "add a line " + f.key + ": …"
		}
	}
	return len(y.list) == before
}

func fieldOf(fields []field, key string) *field {
	for i := range fields {
		if fields[i].key == key {
			return &fields[i]
		}
	}
	return nil
}

// each calls read for the items of a list.
func (y *reader) each(v *yaml.Node, what string, read func(item *yaml.Node)) {
	if v.Kind != yaml.SequenceNode || len(v.Content) == 0 {
		y.reject(v, what, "write a list, each entry after a hyphen")
		return
	}
	for _, item := range v.Content {
		read(item)
	}
}

// reject reports a value that cannot be what it is for.
func (y *reader) reject(value *yaml.Node, what, repair string) {
	y.list.Addf(y.yaml.Span(value), CodeValue, "this cannot be %s", what).Repair = repair
}

// words reads a line of text.
func words(to *string) func(*yaml.Node) string {
	return func(v *yaml.Node) string {
		if v.Kind != yaml.ScalarNode || strings.TrimSpace(v.Value) == "" || v.Tag == "!!null" {
			return "write some words"
		}
		*to = strings.Join(strings.Fields(v.Value), " ")
		return ""
	}
}

// yesNo reads yes or no.
func yesNo(to *bool) func(*yaml.Node) string {
	return func(v *yaml.Node) string {
		word := strings.ToLower(v.Value)
		if v.Kind != yaml.ScalarNode || word != "yes" && word != "no" {
			return "write yes or no"
		}
		*to = word == "yes"
		return ""
	}
}

// markdown reads a paragraph of Markdown.
func (y *reader) markdown(to *Text) func(*yaml.Node) string {
	return func(v *yaml.Node) string {
		to.At = y.yaml.Span(v)
		return words(&to.Markdown)(v)
	}
}

// wordList reads one line of text or a list of them.
func wordList(to *[]string) func(*yaml.Node) string {
	return func(v *yaml.Node) string {
		for _, item := range itemsOf(v) {
			var s string
			if repair := words(&s)(item); repair != "" {
				return repair + ", or a list of them: [one, another]"
			}
			*to = append(*to, s)
		}
		return ""
	}
}

// itemsOf returns the items of a list, or what stands in place of one.
func itemsOf(v *yaml.Node) []*yaml.Node {
	if v.Kind == yaml.SequenceNode {
		return v.Content
	}
	return []*yaml.Node{v}
}

var placePattern = pattern.New(`^([a-z0-9]+(?:-[a-z0-9]+)*)\.md(?:#(.+))?$`)

// places reads one lesson or heading, or a list of them, written as a link in a lesson.
func (y *reader) places(to *[]Place) func(*yaml.Node) string {
	return func(v *yaml.Node) string {
		for _, item := range itemsOf(v) {
			m := placePattern().FindStringSubmatch(item.Value)
			if item.Kind != yaml.ScalarNode || m == nil {
				return "write a lesson and a heading of it: uniform-shaft.md#summary"
			}
			*to = append(*to, Place{Slug: m[1], Anchor: m[2], At: y.yaml.Span(item)})
		}
		return ""
	}
}
