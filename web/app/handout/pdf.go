package handout

import (
	"errors"
	"fmt"
	"io"
	"maps"
	"math"
	"slices"
	"time"
)

// A Paper is a size of paper, in millimetres.
type Paper struct{ Width, Height float64 }

// The papers of the world: ISO 216 and ANSI Y14.1 (from memory).
var (
	A4     = Paper{210, 297}
	Letter = Paper{215.9, 279.4}
)

// Margins in millimetres, the right one at the least. The left one leaves room for holes.
const (
	marginLeft   = 22.0
	marginRight  = 16.0
	marginTop    = 16.0
	marginBottom = 20.0
)

// column is the width of text and squares, in millimetres: a whole number of squares,
// so that they reach both margins.
func (p Paper) column() float64 {
	return math.Floor((p.Width-marginLeft-marginRight)/square+1e-9) * square
}

// A Printed is the outcome of printing.
type Printed struct {
	Pages int
	// Missing are the letters that the fonts have not, each printed as an empty
	// square.
	Missing []rune
}

// written is the date in every file, so that the same sheets give the same file.
var written = time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)

// PDF writes sheets, each on pages of its own, with the name and the number of
// the page at the foot. The same sheets give the same bytes.
func PDF(w io.Writer, paper Paper, title string, sheets []Handout) (Printed, error) {
	if len(sheets) == 0 {
		return Printed{}, errors.New("handout: there is no sheet to print")
	}
	p, err := newPress(paper)
	if err != nil {
		return Printed{}, err
	}
	p.pdf.SetCatalogSort(true)
	p.pdf.SetCreationDate(written)
	p.pdf.SetModificationDate(written)
	p.pdf.SetTitle(title, true)
	p.pdf.SetLang("en")
	out := Printed{}
	width := paper.column()
	for i := range sheets {
		pages := flow(p.sheet(&sheets[i], width), paper.Height-marginTop-marginBottom)
		for n, page := range pages {
			p.pdf.AddPage()
			if out.Pages+n == 0 {
				// What is read out needs PDF 1.4, which this asks for. Before a page it
				// would be written before the head of the file.
				p.pdf.SetAlpha(1, "Normal")
			}
			y := marginTop
			for _, b := range stretched(page, paper.Height-marginTop-marginBottom) {
				if b.field != nil {
					b.field(marginLeft, y, b.height)
				} else {
					b.draw(marginLeft, y)
				}
				y += b.height
			}
			p.foot(&sheets[i], paper, n+1, len(pages))
		}
		out.Pages += len(pages)
	}
	out.Missing = slices.Sorted(maps.Keys(p.missing))
	if err := p.pdf.Error(); err != nil {
		return out, fmt.Errorf("handout: %w", err)
	}
	if err := p.pdf.Output(w); err != nil {
		return out, fmt.Errorf("handout: %w", err)
	}
	return out, nil
}

func (p *press) foot(s *Handout, paper Paper, n, of int) {
	who := s.Name
	if who == "" {
		who = s.Title
	}
	number := p.text(fmt.Sprintf(" · page %d of %d", n, of), letter{"", 9})
	room := paper.column() - number.w
	name := p.cut(who, letter{"", 9}, room)
	b := row(name, number)
	b.draw(marginLeft+(paper.column()-b.w)/2, paper.Height-10)
}

// cut sets a text, shortened to a width if it must be.
func (p *press) cut(s string, l letter, width float64) box {
	b := p.text(s, l)
	for runes := []rune(s); b.w > width && len(runes) > 0; {
		runes = runes[:len(runes)-1]
		b = p.text(string(runes)+"…", l)
	}
	return b
}

// A block is a piece of a page over its whole width. It is drawn with its upper
// left corner at (x, y).
type block struct {
	height float64
	draw   func(x, y float64)
	field  func(x, y, height float64) // instead of draw: squares, as high as there is room
}

// A group is blocks that stay on one page if it has room for them.
type group []block

func (g group) height() float64 {
	h := 0.0
	for _, b := range g {
		h += b.height
	}
	return h
}

// stretched makes the fields of a page higher, by whole squares and each by about as
// many, until the page is full.
func stretched(page []block, height float64) []block {
	left, fields := height-group(page).height(), 0
	for _, b := range page {
		if b.field != nil {
			fields++
		}
	}
	rows := int(max(0, left) / square)
	page = slices.Clone(page)
	for i, b := range slices.Backward(page) {
		if b.field != nil {
			more := (rows + fields - 1) / fields
			page[i].height += float64(more) * square
			rows, fields = rows-more, fields-1
		}
	}
	return page
}

// flow divides groups into pages of a height.
func flow(groups []group, height float64) [][]block {
	var pages [][]block
	var page []block
	left := height
	turn := func() {
		if len(page) > 0 {
			pages = append(pages, page)
		}
		page, left = nil, height
	}
	for _, g := range groups {
		if g.height() > left && g.height() <= height {
			turn()
		}
		for _, b := range g {
			if b.height > left {
				turn()
			}
			page = append(page, b)
			left -= b.height
		}
	}
	turn()
	return pages
}
