package markdown

import (
	"strconv"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/renderer/html"
	"github.com/yuin/goldmark/util"
)

// A Section is a heading of the second level with what follows it, or what stands
// before the first one; ID is then empty.
type Section struct {
	ID    string   // of the heading
	Cells []string // IDs of the cells, in the order of the file
	TeX   []string // the formulas of the text
}

// Sections returns the sections of a document, in order; the first is what stands
// before the first heading, even if that is nothing.
func Sections(doc ast.Node) []Section {
	list := []Section{{}}
	for n := doc.FirstChild(); n != nil; n = n.NextSibling() {
		if isSectionHead(n) {
			list = append(list, Section{ID: idOf(n)})
		}
		here := &list[len(list)-1]
		// The walker below never returns an error, so Walk cannot.
		_ = ast.Walk(n, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
			if !entering {
				return ast.WalkContinue, nil
			}
			switch n := n.(type) {
			case *Cell:
				here.Cells = append(here.Cells, n.ID)
			case *Math:
				here.TeX = append(here.TeX, n.TeX)
			case *MathBlock:
				here.TeX = append(here.TeX, n.TeX)
			}
			return ast.WalkContinue, nil
		})
	}
	return list
}

func isSectionHead(n ast.Node) bool {
	h, ok := n.(*ast.Heading)
	return ok && h.Level == 2 && h.Parent() != nil && h.Parent().Kind() == ast.KindDocument
}

func idOf(n ast.Node) string {
	id, _ := n.AttributeString("id")
	b, _ := id.([]byte)
	return string(b)
}

// Beside writes what stands in the margin beside the section of a heading; "" is
// what stands before the first one.
type Beside func(w util.BufWriter, heading string) error

// document writes the box of the first section and closes that of the last.
func (r nodeRenderer) document(w util.BufWriter, _ []byte, _ ast.Node, entering bool) (ast.WalkStatus, error) {
	if r.beside == nil {
		return ast.WalkContinue, nil
	}
	if !entering {
		_, err := w.WriteString("</div></div>\n")
		return ast.WalkContinue, err
	}
	if _, err := w.WriteString(`<div class="passage">`); err != nil {
		return ast.WalkStop, err
	}
	return ast.WalkContinue, r.text(w, "")
}

// text opens the box of a section's text, after what stands beside it: on a narrow
// window that comes under the heading.
func (r nodeRenderer) text(w util.BufWriter, heading string) error {
	if err := r.beside(w, heading); err != nil {
		return err
	}
	_, err := w.WriteString("<div class=\"passage-text\">\n")
	return err
}

// heading writes a heading; one of the second level begins a box of its own.
func (r nodeRenderer) heading(w util.BufWriter, _ []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
	h := n.(*ast.Heading)
	begins := r.beside != nil && isSectionHead(h)
	tag := "h" + strconv.Itoa(h.Level)
	if entering {
		if begins {
			_, _ = w.WriteString("</div></div>\n<div class=\"passage\">")
		}
		_, _ = w.WriteString("<" + tag)
		html.RenderAttributes(w, n, html.HeadingAttributeFilter)
		return ast.WalkContinue, w.WriteByte('>')
	}
	_, err := w.WriteString("</" + tag + ">\n")
	if begins && err == nil {
		err = r.text(w, idOf(h))
	}
	return ast.WalkContinue, err
}
