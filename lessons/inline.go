package lessons

import (
	"bytes"
	"html"
	"strings"

	"github.com/yuin/goldmark/text"

	"shaftbook/kernel/source"
	"shaftbook/lessons/markdown"
)

// Inline returns a sentence of Markdown as HTML without a paragraph around it,
// for the texts of exercises. Like Render it passes no raw HTML through; a text
// that cannot be rendered comes back as it was written, escaped.
func Inline(s string) string {
	context := &markdown.Context{Text: source.NewText("", s)}
	doc := reader.Parse(text.NewReader([]byte(s)), context.Options())
	var b bytes.Buffer
	if err := newRenderer("", nil).Render(&b, []byte(s), doc); err != nil {
		return html.EscapeString(s)
	}
	return strings.TrimSuffix(strings.TrimPrefix(strings.TrimSpace(b.String()), "<p>"), "</p>")
}
