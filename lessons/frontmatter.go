package lessons

import (
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"

	"gopkg.in/yaml.v3"

	"shaftbook/kernel/source"
	"shaftbook/lessons/markdown"
)

// A field reads one key of the front matter.
type field struct {
	key      string
	required bool
	read     func(m *FrontMatter, v *yaml.Node) (repair string) // "" if the value is good
}

var fields = []field{
	{"title", true, func(m *FrontMatter, v *yaml.Node) string { return readText(&m.Title, v) }},
	{"order", true, func(m *FrontMatter, v *yaml.Node) string { return readCount(&m.Order, v) }},
	{"summary", true, func(m *FrontMatter, v *yaml.Node) string { return readText(&m.Summary, v) }},
	{"minutes", true, func(m *FrontMatter, v *yaml.Node) string { return readCount(&m.Minutes, v) }},
	{"aim", false, func(m *FrontMatter, v *yaml.Node) string { return readText(&m.Aim, v) }},
	{"needs", false, readNeeds},
	{"brings", false, readBrings},
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
		if item.Kind != yaml.ScalarNode || !slugPattern.MatchString(item.Value) {
			return repair
		}
		m.Needs = append(m.Needs, item.Value)
	}
	return ""
}

func readBrings(m *FrontMatter, v *yaml.Node) string {
	const repair = "write a list of numbers as they stand in the prose: [57.3, 0.3 %]"
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
	base int // offset of its first line
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
	content := ""
	if lines.Len() > 0 {
		f.base = lines.At(0).Start
		content = l.Text.Content[f.base:lines.At(lines.Len()-1).Stop]
	}
	f.read(content, &l.FrontMatter)
	return f.list
}

func (f *front) read(content string, to *FrontMatter) {
	var doc yaml.Node
	if err := yaml.Unmarshal([]byte(content), &doc); err != nil {
		f.syntax(content, err)
		return
	}
	seen := map[string]bool{}
	if len(doc.Content) == 1 {
		root := doc.Content[0]
		if root.Kind != yaml.MappingNode {
			f.list.Addf(f.span(content, root), CodeKey, "the front matter must be lines of key: value").Repair = "the keys are " + fieldNames()
			return
		}
		for i := 0; i+1 < len(root.Content); i += 2 {
			f.pair(content, root.Content[i], root.Content[i+1], seen, to)
		}
	}
	for _, field := range fields {
		if field.required && !seen[field.key] {
			f.list.Addf(source.Span{Text: f.text, End: 3}, CodeKey, "the front matter has no %s", field.key).Repair = "add a line " + field.key + ": …"
		}
	}
}

func (f *front) pair(content string, key, value *yaml.Node, seen map[string]bool, to *FrontMatter) {
	field := fieldOf(key.Value)
	switch {
	case field == nil:
		f.list.Addf(f.span(content, key), CodeKey, "the front matter has no key “%s”", key.Value).Repair = "the keys are " + fieldNames()
		return
	case seen[key.Value]:
		f.list.Addf(f.span(content, key), CodeKey, "a second %s", key.Value).Repair = "remove one of them"
		return
	}
	seen[key.Value] = true
	if repair := field.read(to, value); repair != "" {
		f.list.Addf(f.span(content, value), CodeValue, "this cannot be the %s of a lesson", key.Value).Repair = repair
	}
}

// span returns the place of a node in the file: yaml counts lines and
// characters from 1.
func (f *front) span(content string, n *yaml.Node) source.Span {
	start := offsetOf(content, n.Line, n.Column)
	end := start + len(n.Value)
	if line := strings.IndexByte(content[start:], '\n'); line >= 0 {
		end = min(end, start+line)
	}
	return source.Span{Text: f.text, Start: f.base + start, End: f.base + min(end, len(content))}
}

func offsetOf(content string, line, column int) int {
	offset := 0
	for ; line > 1; line-- {
		i := strings.IndexByte(content[offset:], '\n')
		if i < 0 {
			return len(content)
		}
		offset += i + 1
	}
	for ; column > 1 && offset < len(content) && content[offset] != '\n'; column-- {
		_, size := utf8.DecodeRuneInString(content[offset:])
		offset += size
	}
	return offset
}

var yamlLine = regexp.MustCompile(`^yaml: line (\d+): (.*)$`)

// syntax reports text that is not YAML. The library gives the line in words.
func (f *front) syntax(content string, err error) {
	line, message := 1, strings.TrimPrefix(err.Error(), "yaml: ")
	if m := yamlLine.FindStringSubmatch(err.Error()); m != nil {
		line, _ = strconv.Atoi(m[1])
		message = m[2]
	}
	start := offsetOf(content, line, 1)
	end := start
	if i := strings.IndexByte(content[start:], '\n'); i >= 0 {
		end = start + i
	}
	f.list.Addf(source.Span{Text: f.text, Start: f.base + start, End: f.base + end}, CodeValue, "the front matter cannot be read: %s", message).
		Repair = "write lines of key: value; put a value that holds a colon in quotation marks"
}
