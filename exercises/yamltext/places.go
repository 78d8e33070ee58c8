package yamltext

import (
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"

	"shaftbook/kernel/source"
)

// A Place is where in a block a text of its own comes from. If Exact, it is there
// letter by letter, from Offset on.
type Place struct {
	At     source.Span
	Exact  bool
	Offset int
}

// Places has the place of each text that was taken out of a block.
type Places map[*source.Text]Place

// TextOf returns a scalar as a text of its own, with a prefix before it, and notes
// where it comes from.
func (b *Block) TextOf(n *yaml.Node, prefix string) *source.Text {
	content, at, exact := n.Value, b.Span(n), false
	offset := at.Start + Quotes(n)
	if n.Style&yaml.LiteralStyle != 0 {
		if raw, from, ok := b.rawLines(n); ok {
			content, offset, exact = raw, from, true
			at = source.Span{Text: b.Text, Start: from, End: from + len(raw)}
		}
	} else if n.Style&yaml.FoldedStyle == 0 {
		exact = strings.HasPrefix(b.Text.Content[min(offset, len(b.Text.Content)):], content)
	}
	t := &source.Text{Name: b.Text.Name, Content: prefix + content, FirstLine: at.Position().Line}
	b.Places[t] = Place{At: at, Exact: exact, Offset: offset - len(prefix)}
	return t
}

// rawLines returns the lines of a literal block with their indentation, so that
// columns count as they do in the file.
func (b *Block) rawLines(n *yaml.Node) (raw string, from int, ok bool) {
	count := strings.Count(strings.TrimRight(n.Value, "\n"), "\n") + 1
	first, last := n.Line+1, n.Line+count
	if last > b.Lines() {
		return "", 0, false
	}
	from = b.Line(first).Start
	raw = b.Text.Content[from:b.Line(last).End]
	return raw, from, sameLines(raw, n.Value)
}

func sameLines(a, b string) bool {
	x, y := strings.Split(a, "\n"), strings.Split(strings.TrimRight(b, "\n"), "\n")
	return slices.EqualFunc(x, y, func(p, q string) bool { return strings.TrimSpace(p) == strings.TrimSpace(q) })
}

// Locate moves diagnostics from the texts of a block's parts to the block.
func (p Places) Locate(list source.List) source.List {
	out := make(source.List, 0, len(list))
	for _, d := range list {
		d.Fix, d.Choices = nil, nil // it would replace a piece of a text that is not the author's
		d.Span = p.Span(d.Span)
		related := make([]source.Related, 0, len(d.Related))
		for _, r := range d.Related {
			r.Span = p.Span(r.Span)
			related = append(related, r)
		}
		d.Related = related
		out = append(out, d)
	}
	return out
}

// Span returns the place in the block of a span of one of its parts; a span of any
// other text as it is.
func (p Places) Span(s source.Span) source.Span {
	place, ok := p[s.Text]
	if !ok {
		return s
	}
	if !place.Exact {
		return place.At
	}
	start, end := place.Offset+s.Start, place.Offset+s.End
	start = max(start, place.At.Start)
	return source.Span{Text: place.At.Text, Start: start, End: max(start, end)}
}
