package lessons

import (
	"bytes"
	"strings"

	"github.com/yuin/goldmark/text"

	"shaftbook/kernel/source"
	"shaftbook/lessons/markdown"
)

// Inline writes one paragraph of Markdown as HTML without its paragraph tags:
// the words of an exercise, which stand in a label or a list item.
func Inline(s string) (string, error) {
	context := &markdown.Context{Text: source.NewText("", s)}
	doc := reader.Parse(text.NewReader([]byte(s)), context.Options())
	var b bytes.Buffer
	if err := newRenderer("", markdown.Hooks{}).Render(&b, []byte(s), doc); err != nil {
		return "", err
	}
	return strings.TrimSuffix(strings.TrimPrefix(strings.TrimSpace(b.String()), "<p>"), "</p>"), nil
}
