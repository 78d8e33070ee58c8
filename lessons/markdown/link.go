package markdown

import (
	"bytes"
	"path"
	"strings"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/util"

	"shaftbook/kernel/source"
)

// A Link leads to a lesson, or to a heading of one.
type Link struct {
	Slug   string // "" for the lesson itself
	Anchor string // "" for the top
	At     source.Span
}

// An Asset is a file beside the lesson that the lesson shows.
type Asset struct {
	Path string // relative to the folder of lessons, with slashes
	At   source.Span
}

// link notes where a link leads. Links lead to other lessons (stepped.md,
// stepped.md#torque), to a heading (#torque) or out of the book.
func (c *Context) link(n ast.Node, destination []byte) {
	to := string(destination)
	at := c.lineFrom(n.Pos())
	if l, ok := c.find(n.Pos(), to); ok {
		at = l
	}
	switch {
	case hasScheme(to, "https:", "http:", "mailto:") || bytes.HasPrefix(destination, []byte("mailto:")):
		return
	case strings.Contains(to, "@") && n.Kind() == ast.KindAutoLink:
		return
	}
	slug, anchor, ok := lessonLink(to)
	if !ok {
		c.Diagnostics.Addf(at, CodeLink, "a lesson cannot link to “%s”", to).
			Repair = "link to another lesson (stepped-shaft.md), to a heading (#can-it-be-right) or to an address with https://"
		return
	}
	c.Links = append(c.Links, Link{slug, anchor, at})
}

// find looks for the text of a destination behind the start of its link, so
// that a message can point at it.
func (c *Context) find(start int, destination string) (source.Span, bool) {
	if start < 0 || start > len(c.Text.Content) || destination == "" {
		return source.Span{}, false
	}
	i := strings.Index(c.Text.Content[start:], destination)
	if i < 0 {
		return source.Span{}, false
	}
	return c.span(start+i, start+i+len(destination)), true
}

func hasScheme(to string, schemes ...string) bool {
	for _, s := range schemes {
		if len(to) > len(s) && strings.EqualFold(to[:len(s)], s) {
			return true
		}
	}
	return false
}

// lessonLink reads "stepped.md", "stepped.md#torque" and "#torque".
func lessonLink(to string) (slug, anchor string, ok bool) {
	file, anchor, hasAnchor := strings.Cut(to, "#")
	if file == "" {
		return "", anchor, hasAnchor && anchor != ""
	}
	slug, isLesson := strings.CutSuffix(file, ".md")
	return slug, anchor, isLesson && slugPattern().MatchString(slug)
}

var imageTypes = map[string]bool{".svg": true, ".png": true}

// image notes the file of an image. Only files beside the lesson are shown, so
// that a page asks no other server for anything.
func (c *Context) image(n *ast.Image, src []byte) {
	to := string(n.Destination)
	at := c.lineFrom(n.Pos())
	if found, ok := c.find(n.Pos(), to); ok {
		at = found
	}
	if plainText(n, src) == "" {
		c.Diagnostics.Addf(c.lineFrom(n.Pos()), CodeImage, "this image has no description").
			Repair = "say what it shows: ![the quill with its dimensions](quill.svg)"
	}
	if !isAsset(to) {
		c.Diagnostics.Addf(at, CodeImage, "“%s” cannot be shown", to).
			Repair = "put an .svg or .png file beside the lesson and give its name"
		return
	}
	c.Assets = append(c.Assets, Asset{path.Clean(to), at})
}

// isAsset reports whether to is the relative name of an image file within the
// folder.
func isAsset(to string) bool {
	clean := path.Clean(to)
	return imageTypes[path.Ext(clean)] && !path.IsAbs(to) && clean != ".." && !strings.HasPrefix(clean, "../") &&
		!strings.ContainsAny(to, ":\\?#%")
}

// link writes a link; a link that leads nowhere leaves its words.
func (r nodeRenderer) link(w util.BufWriter, _ []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	n := node.(*ast.Link)
	address, ok := r.address(string(n.Destination))
	if !ok {
		return ast.WalkContinue, nil
	}
	if !entering {
		_, err := w.WriteString("</a>")
		return ast.WalkContinue, err
	}
	if _, err := w.WriteString(`<a href="` + string(util.EscapeHTML(util.URLEscape([]byte(address), false))) + `"`); err != nil {
		return ast.WalkStop, err
	}
	if n.Title != nil {
		if _, err := w.WriteString(` title="` + string(util.EscapeHTML(n.Title)) + `"`); err != nil {
			return ast.WalkStop, err
		}
	}
	return ast.WalkContinue, w.WriteByte('>')
}

// address returns where a link of the text leads on the page.
func (r nodeRenderer) address(to string) (string, bool) {
	if hasScheme(to, "https:", "http:", "mailto:") {
		return to, true
	}
	slug, anchor, ok := lessonLink(to)
	switch {
	case !ok:
		return "", false
	case slug == "":
		return "#" + anchor, true
	case anchor == "":
		return r.base + slug, true
	}
	return r.base + slug + "#" + anchor, true
}

// image writes an image that is a file beside the lesson, and the description
// of any other.
func (r nodeRenderer) image(w util.BufWriter, src []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	n := node.(*ast.Image)
	if !entering {
		return ast.WalkContinue, nil
	}
	words := string(util.EscapeHTML([]byte(plainText(n, src))))
	if !isAsset(string(n.Destination)) || strings.Contains(r.own, "/") { // a page that is no file has none beside it
		_, err := w.WriteString(words)
		return ast.WalkSkipChildren, err
	}
	address := r.base + r.own + "/" + path.Clean(string(n.Destination))
	_, err := w.WriteString(`<img src="` + string(util.EscapeHTML(util.URLEscape([]byte(address), false))) + `" alt="` + words + `">`)
	return ast.WalkSkipChildren, err
}
