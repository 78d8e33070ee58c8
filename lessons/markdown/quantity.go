package markdown

import (
	"bufio"
	"bytes"
	"cmp"
	"strings"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/renderer/html"
	"github.com/yuin/goldmark/util"

	"shaftbook/kernel/pattern"
	"shaftbook/kernel/unit"
)

// UnitOf reads the unit at the start of what follows a number in prose, without
// the punctuation that ends a sentence. English words that are also unit
// symbols are words. length is that of the unit's text in bytes.
func UnitOf(word string) (u unit.Unit, length int, ok bool) {
	symbol := strings.TrimRight(word, ".,;:!?)”’\"*_—–")
	switch symbol {
	case "", "in", "a", "d", "h", "t", "l":
		return unit.Unit{}, 0, false
	}
	if strings.Count(symbol, "(") > strings.Count(symbol, ")") && strings.HasPrefix(word[len(symbol):], ")") {
		symbol += ")" // of deg/(N·m)
	}
	u, err := unit.Parse(symbol)
	return u, len(symbol), err == nil
}

var numberAndWord = pattern.New(`(\d) (\S+)`)

// bound keeps a number and its unit on one line (SI Brochure, 9th ed., 5.4.3:
// the space between them belongs to the quantity).
func bound(text []byte) []byte {
	return numberAndWord().ReplaceAllFunc(text, func(match []byte) []byte {
		if _, _, ok := UnitOf(string(match[2:])); !ok {
			return match
		}
		return append([]byte{match[0], 0xc2, 0xa0}, match[2:]...)
	})
}

// renderText writes prose, with numbers joined to their units, and covered pieces by
// their hook.
func (r nodeRenderer) renderText(w util.BufWriter, source []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	if !entering {
		return ast.WalkContinue, nil
	}
	n := node.(*ast.Text)
	text := n.Segment.Value(source)
	if n.IsRaw() {
		html.DefaultWriter.RawWrite(w, text)
		return ast.WalkContinue, nil
	}
	var failed error
	cutText(n.Segment.Start, n.Segment.Stop, r.covered, func(start, end int, piece *Covered) {
		if piece == nil || r.hide == nil {
			html.DefaultWriter.Write(w, bound(source[start:end]))
			return
		}
		var open bytes.Buffer
		b := bufio.NewWriter(&open)
		html.DefaultWriter.Write(b, bound(source[start:end]))
		failed = cmp.Or(b.Flush(), failed, r.hide(w, piece.Number, open.String()))
	})
	if failed != nil {
		return ast.WalkStop, failed
	}
	switch {
	case n.HardLineBreak():
		_, _ = w.WriteString("<br>\n")
	case n.SoftLineBreak():
		_ = w.WriteByte('\n')
	}
	return ast.WalkContinue, nil
}
