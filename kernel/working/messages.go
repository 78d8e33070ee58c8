package working

import (
	"slices"
	"strings"

	"shaftbook/kernel/source"
	"shaftbook/kernel/words"
)

// CodeMore: a cell has more errors than are shown at once.
const CodeMore source.Code = "more-errors"

// mostOpen is how many errors of a cell are shown at once; the others are counted.
const mostOpen = 3

// An annotation is what the messages of a statement are beside those of others.
type annotation struct {
	messages source.List // with only the repairs that are proved
	cause    *Place
	waiters  []Place
	folded   bool
	order    int
	errors   int
}

func (a annotation) same(b annotation) bool {
	same := a.folded == b.folded && a.order == b.order && a.errors == b.errors && slices.Equal(a.waiters, b.waiters) &&
		(a.cause == nil) == (b.cause == nil) && (a.cause == nil || *a.cause == *b.cause)
	return same && slices.EqualFunc(a.messages, b.messages, func(x, y source.Diagnostic) bool {
		return x.Message == y.Message && x.Span == y.Span && x.Waiting == y.Waiting && slices.Equal(x.Related, y.Related) &&
			(x.Fix == nil) == (y.Fix == nil) && len(x.Choices) == len(y.Choices)
	})
}

// shown returns the result of an item with its messages as readers see them.
func (it *item) shown() Result {
	r := it.result
	a := &it.annotation
	if len(a.messages) == len(r.Diagnostics) {
		r.Diagnostics = a.messages
	}
	r.Cause, r.Waiters, r.Folded, r.Order, r.Errors = a.cause, a.waiters, a.folded, a.order, a.errors
	return r
}

// place returns where an item is.
func (it *item) place() Place {
	p := Place{Cell: it.cell.id, Index: it.index, Line: 1, Name: it.defines}
	if it.cell.kind == Shaft {
		p.Text = "shaft " + it.defines
	} else if s := it.span(); s.IsValid() {
		p.Line = 1 + strings.Count(s.Text.Content[:min(s.Start, len(s.Text.Content))], "\n")
		p.Text = strings.TrimSpace(s.Line())
	}
	return p
}

// find returns the item that holds a place in the text of a cell.
func (w *Working) find(s source.Span) (Place, bool) {
	for _, it := range w.items {
		if it.cell.text != s.Text {
			continue
		}
		if at := it.span(); it.cell.kind == Shaft || at.Start <= s.Start && s.Start <= at.End {
			p := it.place()
			p.Line = 1 + strings.Count(s.Text.Content[:min(s.Start, len(s.Text.Content))], "\n")
			return p, true
		}
	}
	return Place{}, false
}

// putMessages works out what is to be shown of each statement's messages, and asks
// for those that have changed to be emitted again.
func (w *Working) putMessages() {
	waiters := map[*item][]Place{}
	for _, it := range w.items {
		w.step(checkWork / 10)
		if it.cause != nil || it.waitsOn != nil {
			root := w.rootOf(it)
			waiters[root] = append(waiters[root], it.place())
		}
	}
	left := mostProved
	for _, c := range w.cells {
		errors := 0
		for _, it := range c.items {
			if it.isAtFault() {
				errors++
			}
		}
		order := 0
		for _, it := range c.items {
			w.step(checkWork / 10)
			var a annotation
			a.messages = slices.Clone(it.result.Diagnostics)
			if it.cause != nil || it.waitsOn != nil {
				root := w.rootOf(it)
				p := root.place()
				a.cause = &p
				if d := a.messages.FirstError(); d != nil {
					d.Related = []source.Related{{Span: root.messageSpan(), Message: "this is the reason"}}
				}
			}
			if it.isAtFault() {
				order++
				a.folded, a.order, a.errors = order > mostOpen, order, errors
				a.waiters = waiters[it]
			}
			for i := range a.messages {
				d := &a.messages[i]
				if d.Severity == source.Error && a.waiters != nil && d.Waiting == 0 {
					d.Waiting = len(a.waiters)
					break
				}
			}
			for i := range a.messages {
				d := &a.messages[i]
				if d.Fix != nil && !w.isProved(it, d, d.Fix, &left) {
					d.Fix = nil
				}
				choices := d.Choices
				d.Choices = nil
				for j := range choices {
					if w.isProved(it, d, &choices[j], &left) {
						d.Choices = append(d.Choices, choices[j])
					}
				}
			}
			if !a.same(it.annotation) {
				it.unsent = true
			}
			it.annotation = a
		}
	}
}

// isAtFault reports whether an item is in error and waits for no other.
func (it *item) isAtFault() bool {
	return it.result.Failed() && it.cause == nil && it.waitsOn == nil
}

// Said returns the messages of a statement as they are listed: none of the errors
// of a statement that waits for another. Of a cell with more than three errors the
// others are counted, where the fourth would be, unless all are asked for.
func (r *Result) Said(all bool) source.List {
	var list source.List
	for _, d := range r.Diagnostics {
		switch {
		case d.Severity != source.Error || r.Cause == nil && (all || !r.Folded):
			list = append(list, d)
		case !all && r.Folded && r.Order == mostOpen+1 && len(list) == 0:
			list.Addf(d.Span, CodeMore, "there %s in this cell", moreErrors(r.Errors-mostOpen))
		}
	}
	return list
}

// moreErrors counts errors after others: "is 1 more error", "are 4 more errors".
func moreErrors(n int) string {
	return words.Are(n) + " " + words.CountOf(n, "more error", "more errors")
}
