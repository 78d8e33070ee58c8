package marking

import (
	"context"
	"slices"
	"strings"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
)

// readSymbols reads one value or formula. A symbol that is a unit and a given
// name, as T in 16 T/(π d^3), is the name if the unit does not give the quantity
// that is asked; if both do, the unread has both. What the notation read in another
// spelling than usual is taken over with the reason.
func (m *Marker) readSymbols(ctx context.Context, s spelling) (typed, *unread) {
	plain, refused := m.read(ctx, s)
	named, ways, is := m.withNames(ctx, s)
	if is && refused == nil && m.fits(ctx, &plain) && m.fits(ctx, &named) {
		names := spelling{text: named.text, why: named.why, notes: named.notes}
		return plain, &unread{readings: []spelling{names, m.asProduct(s)}}
	}
	if len(ways) > 0 && (refused != nil || !m.fits(ctx, &plain)) {
		return plain, &unread{readings: ways}
	}
	if is && (refused != nil || !m.fits(ctx, &plain)) {
		return named, nil
	}
	if refused != nil && len(refused.readings) == 0 || refused == nil && !m.fits(ctx, &plain) {
		if apart := m.namesApart(s); len(apart) > 0 {
			return plain, &unread{readings: apart}
		}
	}
	if refused == nil && !m.fits(ctx, &plain) {
		if word := m.litresOf(plain.expr); word != "" {
			rest := strings.TrimSuffix(word, "L")
			return plain, &unread{Verdict: Verdict{Kind: Unreadable, Message: "“" + rest + "” in “" + word + "” is not one of the given symbols (" + givenNames(m.Numbers) + "). " + nameHelp(rest)}}
		}
	}
	if refused != nil {
		for i := range refused.readings {
			r := &refused.readings[i]
			r.why, r.notes, r.offered = s.why, s.notes, true
		}
		return plain, refused
	}
	plain.text = usual(plain.text)
	return plain, nil
}

// usual writes a text in the spelling in which the notation notes nothing of it.
func usual(text string) string {
	_, list := notation.ParseExpr(source.NewText("answer", text))
	for _, d := range slices.Backward(list) {
		if d.Severity == source.Note && d.Fix != nil && d.Fix.Span.End <= len(text) {
			text = text[:d.Fix.Span.Start] + d.Fix.Text + text[d.Fix.Span.End:]
		}
	}
	return text
}

// asProduct writes a number with a unit so that the unit cannot be a name.
func (m *Marker) asProduct(s spelling) spelling {
	x, list := notation.ParseExpr(source.NewText("answer", s.text))
	q, ok := notation.Unparen(x).(*notation.Quantity)
	if list.HasErrors() || !ok {
		return s
	}
	s.text = q.Number.Text + "·(1 " + q.Unit.Text + ")"
	return s
}

// fits reports whether a value is of the quantity that is asked.
func (m *Marker) fits(ctx context.Context, t *typed) bool {
	if m.Scheme.Kind == Number {
		return t.got.Value.Dim == m.Key.Dim
	}
	got, refused := evaluate(ctx, m.Numbers, t.expr)
	return refused == nil && got.Value.Dim == m.Key.Dim
}

// withNames reads the unit symbols of a text that are given names as those; is is
// false if there are none, or no sense in it. The ways are all readings where there
// are several even so.
func (m *Marker) withNames(ctx context.Context, s spelling) (t typed, ways []spelling, is bool) {
	cell, _ := notation.ParseCell(source.NewText("answer", s.text))
	if len(cell.Stmts) != 1 {
		return t, nil, false
	}
	doubts := notation.DoubtsOf(cell.Stmts[0])
	names := map[string]bool{}
	for _, symbol := range doubts.Symbols {
		if slices.ContainsFunc(m.Numbers.Givens(), func(g *Given) bool { return g.Name == symbol }) {
			names[symbol] = true
		}
	}
	if len(names) == 0 {
		return t, nil, false
	}
	again, list := notation.RereadStmt(cell.Stmts[0], notation.Choice{Names: names})
	if d := list.FirstError(); d != nil {
		for _, fix := range d.Choices {
			ways = append(ways, spelling{text: s.text[:fix.Span.Start] + fix.Text + s.text[fix.Span.End:], why: s.why, offered: true})
		}
		return t, ways, false
	}
	shown, isShow := again.(*notation.Show)
	if !isShow {
		return t, nil, false
	}
	s.text = notation.Print(shown.Expr)
	var symbols []string
	for symbol := range names {
		symbols = append(symbols, symbol)
	}
	slices.Sort(symbols)
	why := strings.Join(symbols, ", ") + " is a given name, not a unit"
	if len(symbols) > 1 {
		why = strings.Join(symbols, ", ") + " are given names, not units"
	}
	s.why = append(slices.Clone(s.why), why)
	t, refused := m.read(ctx, s)
	return t, nil, refused == nil
}

// litresOf returns the unit of a formula that is a prefix and a litre, the TL of 32TL, where
// L is given: it is a product of two names, and the other is not given.
func (m *Marker) litresOf(x notation.Expr) (word string) {
	if !hasNames(x) || !m.isGivenName("L") {
		return ""
	}
	notation.Inspect(x, func(n notation.Node) bool {
		if q, ok := n.(*notation.Quantity); ok && len(q.Unit.Text) == 2 && q.Unit.Text[1] == 'L' {
			word = q.Unit.Text
		}
		return word == ""
	})
	return word
}
