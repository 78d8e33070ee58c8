package lessons

import (
	"errors"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"

	"shaftbook/exercises/yamltext"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/lessons/markdown"
)

// A field reads one key of the front matter. One whose value has parts has readParts
// in place of read, which reports at the part.
type field struct {
	key       string
	required  bool
	read      func(m *FrontMatter, v *yaml.Node) (repair string) // "" if the value is good
	readParts func(f *front, m *FrontMatter, v *yaml.Node)
}

var fields = []field{
	{key: "title", required: true, read: func(m *FrontMatter, v *yaml.Node) string { return readText(&m.Title, v) }},
	{key: "order", required: true, read: func(m *FrontMatter, v *yaml.Node) string { return readCount(&m.Order, v) }},
	{key: "summary", required: true, read: func(m *FrontMatter, v *yaml.Node) string { return readText(&m.Summary, v) }},
	{key: "minutes", required: true, read: func(m *FrontMatter, v *yaml.Node) string { return readCount(&m.Minutes, v) }},
	{key: "aim", read: func(m *FrontMatter, v *yaml.Node) string { return readText(&m.Aim, v) }},
	{key: "group", read: func(m *FrontMatter, v *yaml.Node) string { return readText(&m.Group, v) }},
	{key: "needs", read: readNeeds},
	{key: "brings", read: readBrings},
	{key: "breaks", read: readBreaks},
	{key: "checked", readParts: (*front).readChecked},
}

func readText(to *string, v *yaml.Node) string {
	if v.Kind != yaml.ScalarNode || strings.TrimSpace(v.Value) == "" || v.Tag == "!!null" {
		return "write some words"
	}
	*to = strings.Join(strings.Fields(v.Value), " ")
	return ""
}

func readCount(to *int, v *yaml.Node) string {
	n, err := strconv.Atoi(v.Value)
	if v.Kind != yaml.ScalarNode || err != nil || n < 1 || n > 1000 {
		return "write a whole number from 1 to 1000"
	}
	*to = n
	return ""
}

func readNeeds(m *FrontMatter, v *yaml.Node) string {
	const repair = "write a list of lessons: [uniform-shaft, units-that-cannot-lie]"
	if v.Kind != yaml.SequenceNode {
		return repair
	}
	for _, item := range v.Content {
		if item.Kind != yaml.ScalarNode || !slugPattern().MatchString(item.Value) {
			return repair
		}
		m.Needs = append(m.Needs, item.Value)
	}
	return ""
}

func readBrings(m *FrontMatter, v *yaml.Node) string {
	const repair = "write a list of numbers exactly as in the text: [57.3, 0.3 %]"
	if v.Kind != yaml.SequenceNode {
		return repair
	}
	for _, item := range v.Content {
		if item.Kind != yaml.ScalarNode {
			return repair
		}
		m.Brings = append(m.Brings, strings.Join(strings.Fields(item.Value), " "))
	}
	return ""
}

func readBreaks(m *FrontMatter, v *yaml.Node) string {
	const repair = "write a list of sliders: [d_1]"
	if v.Kind != yaml.SequenceNode {
		return repair
	}
	for _, item := range v.Content {
		if item.Kind != yaml.ScalarNode {
			return repair
		}
		m.Breaks = append(m.Breaks, notation.Canonical(strings.TrimSpace(item.Value)))
	}
	return ""
}

func fieldOf(key string) *field {
	for i := range fields {
		if fields[i].key == key {
			return &fields[i]
		}
	}
	return nil
}

func fieldNames() string {
	var names []string
	for _, f := range fields {
		names = append(names, f.key)
	}
	return strings.Join(names, ", ")
}

// front is the reading of one front matter.
type front struct {
	text *source.Text
	yaml *yamltext.Reader
	list source.List
}

// readFrontMatter fills the front matter of l from the first block of its tree.
func (l *Lesson) readFrontMatter() source.List {
	f := front{text: l.Text}
	block, ok := l.doc.FirstChild().(*markdown.FrontMatter)
	if !ok {
		f.list.Addf(source.Span{Text: l.Text}, markdown.CodeFrontMatter, "this lesson has no front matter").
			Repair = "begin the file with lines of ---, title: …, order: …, summary: …, minutes: … and ---"
		return f.list
	}
	if !block.Closed {
		return nil // already reported
	}
	lines := block.Lines()
	start, end := 0, 0
	if lines.Len() > 0 {
		start, end = lines.At(0).Start, lines.At(lines.Len()-1).Stop
	}
	f.yaml = yamltext.New(l.Text, start, end)
	f.read(&l.FrontMatter)
	return f.list
}

func (f *front) read(to *FrontMatter) {
	root, err := f.yaml.Root()
	if err != nil {
		f.syntax(err)
		return
	}
	seen := map[string]bool{}
	if root != nil {
		if root.Kind != yaml.MappingNode {
			f.list.Addf(f.yaml.Span(root), CodeKey, "the front matter must be lines of key: value").Repair = "the keys are " + fieldNames()
			return
		}
		for i := 0; i+1 < len(root.Content); i += 2 {
			f.pair(root.Content[i], root.Content[i+1], seen, to)
		}
	}
	for _, field := range fields {
		if field.required && !seen[field.key] {
			f.list.Addf(source.Span{Text: f.text, End: 3}, CodeKey, "the front matter has no %s", field.key).Repair = "add a line " + field.key + ": …"
		}
	}
}

func (f *front) pair(key, value *yaml.Node, seen map[string]bool, to *FrontMatter) {
	field := fieldOf(key.Value)
	switch {
	case field == nil:
		f.list.Addf(f.yaml.Span(key), CodeKey, "the front matter has no key “%s”", key.Value).Repair = "the keys are " + fieldNames()
		return
	case seen[key.Value]:
		f.list.Addf(f.yaml.Span(key), CodeKey, "a second %s", key.Value).Repair = "remove one of them"
		return
	}
	seen[key.Value] = true
	if field.readParts != nil {
		field.readParts(f, to, value)
		return
	}
	if repair := field.read(to, value); repair != "" {
		f.reject(value, "the "+key.Value+" of a lesson", repair)
	}
}

// reject reports a value that cannot be what it is for.
func (f *front) reject(value *yaml.Node, what, repair string) {
	f.list.Addf(f.yaml.Span(value), CodeValue, "this cannot be %s", what).Repair = repair
}

// syntax reports text that is not YAML.
func (f *front) syntax(err error) {
	at := f.yaml.Line(1)
	var located *yamltext.Error
	if errors.As(err, &located) {
		at = located.Span
	}
	f.list.Addf(at, CodeValue, "the front matter cannot be read: %s", err).
		Repair = "write lines of key: value; put a value that holds a colon in quotation marks"
}
