package marking

import (
	"fmt"
	"strings"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/pattern"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

var (
	assignedAt = pattern.New(`(?:[;,\n]|\s+and\s)\s*([\pL][\pL\pN_]*(?:\s+(?:max|min))?\s*[=≈:])`)
	assigned   = pattern.New(`^[\pL][\pL\pN_]*(?:\s+(?:max|min))?\s*[=≈:]`)
	maxValue   = pattern.New(`^([\pL][\pL\pN_]*)[\s.]+(max|min)(?:imum|\.)?\s*[=:]?\s*([-+−]?[.,]?\d.*)$`)
)

// assignments parts J = 164896 mm^4; θ = 1.108 deg; nil for what is not several names
// with a value each.
func assignments(answer string) []string {
	if !assigned().MatchString(answer) {
		return nil
	}
	var parts []string
	start := 0
	for _, at := range assignedAt().FindAllStringSubmatchIndex(answer, -1) {
		parts = append(parts, strings.TrimSpace(answer[start:at[0]]))
		start = at[2]
	}
	if start == 0 {
		return nil
	}
	return append(parts, strings.TrimSpace(answer[start:]))
}

// oneAssigned returns the part of an answer in which what is asked has its value, with
// a note on the others. refused is the verdict where several may be that or none is; both
// are empty for an answer that is not several names with their values.
func (m *Marker) oneAssigned(answer string) (part, note string, refused *Verdict) {
	all := assignments(answer)
	var fit, rest, offers []string
	for _, text := range all {
		a := splitAnswer(text)
		ident := notation.Canonical(a.head)
		if a.head != "" && m.asksFor(ident) && !m.isGivenName(ident) {
			fit = append(fit, text)
			offers = append(offers, a.values[len(a.values)-1].text)
			continue
		}
		rest = append(rest, "“"+text+"”")
	}
	switch {
	case len(all) == 0:
		return "", "", nil
	case len(fit) == 1:
		return fit[0], strings.Join(rest, ", ") + " beside it was not checked.", nil
	}
	return "", "", &Verdict{Kind: Unreadable, offers: offers, Message: fmt.Sprintf(
		"“%s” gives several quantities, but the question asks for one, %s. Submit that one alone.", answer, m.wanted())}
}

func (m *Marker) isGivenName(ident string) bool {
	for _, g := range m.Numbers.Givens() {
		if g.Name == ident {
			return true
		}
	}
	return false
}

// atStroke parts 1.108 deg / 0.01934 rad: two values of what is asked in two units, since
// one of them divided by the other is not of that.
func (p typedPart) atStroke(asked unit.Dimension) (first, second typedPart, ok bool) {
	for i, r := range p.text {
		if r != '/' && r != '|' {
			continue
		}
		first, second = typedPart{strings.TrimSpace(p.text[:i])}, typedPart{strings.TrimSpace(p.text[i+1:])}
		if first.isOf(asked) && second.isOf(asked) {
			return first, second, true
		}
	}
	return p, p, false
}

// isOf reports whether a text is one value with a unit of a quantity. A pure number with
// its sign of per cent is not counted.
func (p typedPart) isOf(asked unit.Dimension) bool {
	v, ok := cutValue(p.text)
	if !ok || v.tail == "" {
		return false
	}
	units := unitSpellings(v.tail, asked)
	return len(units) > 0 && units[0].unit.Dim == asked && (!asked.IsNumber() || angleSymbol().MatchString(units[0].text))
}

// mixedSum returns the verdict on a sum of which some terms have a unit of what is asked
// and some are bare numbers, −0.34 + 0.21 deg, with the ways to complete it; nil for any
// other. A bare number beside radians is one of radians.
func (m *Marker) mixedSum(x notation.Expr, text string) *Verdict {
	var found *Verdict
	notation.Inspect(x, func(n notation.Node) bool {
		sum, ok := n.(*notation.Binary)
		if !ok || found != nil || sum.Op != notation.OpAdd && sum.Op != notation.OpSub {
			return found == nil
		}
		var bare []notation.Expr
		symbol := ""
		for _, term := range termsOf(sum) {
			u := m.unitOfTerm(term)
			switch {
			case u != "" && (symbol == "" || symbol == "rad"):
				symbol = u
			case isBareNumber(term):
				bare = append(bare, term)
			}
		}
		if len(bare) == 0 || symbol == "" || symbol == "rad" {
			return true
		}
		found = &Verdict{Kind: Unreadable, offers: []string{completed(text, bare, symbol)}, Message: fmt.Sprintf(
			"%s has no unit, beside a value that has one. Write the unit after each number.", bare[0].Span().Content())}
		if m.Key.Angle {
			found.offers = append(found.offers, completed(text, bare, "rad"))
		}
		return false
	})
	return found
}

// termsOf lists the terms of a sum.
func termsOf(x notation.Expr) []notation.Expr {
	x = notation.Unparen(x)
	if sum, ok := x.(*notation.Binary); ok && (sum.Op == notation.OpAdd || sum.Op == notation.OpSub) {
		return append(termsOf(sum.X), termsOf(sum.Y)...)
	}
	return []notation.Expr{x}
}

// unitOfTerm returns the unit of what is asked in which a term counts, or empty.
func (m *Marker) unitOfTerm(x notation.Expr) string {
	switch x := notation.Unparen(x).(type) {
	case *notation.Unary:
		return m.unitOfTerm(x.X)
	case *notation.Quantity:
		if x.Unit.Unit.Dim == m.Key.Dim && (!m.Key.Dim.IsNumber() || m.Key.Angle && angleSymbol().MatchString(x.Unit.Text)) {
			return x.Unit.Text
		}
	case *notation.Binary:
		if x.Op != notation.OpMul && x.Op != notation.OpDiv {
			return ""
		}
		if above := m.unitOfTerm(x.X); above != "" {
			return above
		}
		if x.Op == notation.OpMul {
			return m.unitOfTerm(x.Y)
		}
	}
	return ""
}

// isBareNumber reports whether a term is worked out from numbers alone, and not 0. A
// number with π is one of radians.
func isBareNumber(x notation.Expr) bool {
	if number, ok := notation.Unparen(x).(*notation.Number); ok && number.Value == 0 {
		return false
	}
	isBare := true
	notation.Inspect(x, func(n notation.Node) bool {
		switch n.(type) {
		case *notation.Name, *notation.Call, *notation.Quantity:
			isBare = false
		}
		return isBare
	})
	return isBare
}

// completed writes a text with a unit behind each of some terms.
func completed(text string, terms []notation.Expr, symbol string) string {
	for i := len(terms) - 1; i >= 0; i-- {
		at := terms[i].Span()
		x := notation.Unparen(terms[i])
		if u, ok := x.(*notation.Unary); ok {
			x = notation.Unparen(u.X)
		}
		if number, ok := x.(*notation.Number); ok {
			end := number.Span().End
			text = text[:end] + " " + symbol + text[end:]
			continue
		}
		text = text[:at.Start] + "(" + text[at.Start:at.End] + ")·(1 " + symbol + ")" + text[at.End:]
	}
	return text
}

// isTwoUnits reports whether a value has two units of what is asked behind it, 1.108 deg
// rad, and returns the value with each of them.
func (m *Marker) isTwoUnits(text string) (each []string, ok bool) {
	v, isValue := cutValue(text)
	words := strings.Fields(v.tail)
	if !isValue || len(words) != 2 || words[0] == "in" { // 46.7 in mm
		return nil, false
	}
	for _, word := range words {
		one := v.sign + v.number + v.power + " " + word
		if !(typedPart{one}).isOf(m.Key.Dim) {
			return nil, false
		}
		if len(each) == 0 || each[0] != one {
			each = append(each, one)
		}
	}
	if joined := v.sign + v.number + v.power + " " + words[0] + words[1]; (typedPart{joined}).isOf(m.Key.Dim) {
		each = append(each, joined) // m m
	}
	return each, true
}

// isValueText reports whether a text is a number.
func isValueText(text string) bool {
	v, ok := cutValue(strings.TrimSpace(text))
	return ok && v.tail == ""
}

// behindFormula takes the unit of an angle off that is behind a formula, T·L/(G·J) deg;
// ok is false where there is none.
func behindFormula(text string, asked unit.Dimension) (front, symbol string, ok bool) {
	if before, found := strings.CutSuffix(text, "°"); found && !isValueText(before) {
		text = strings.TrimSpace(before) + " °"
	}
	at := unitBehindAt().FindStringSubmatch(strings.TrimSpace(text))
	if at == nil || !asked.IsNumber() {
		return "", "", false
	}
	if v, isValue := cutValue(text); isValue && v.unitOK() {
		return "", "", false
	}
	units := unitSpellings(at[2], asked)
	if len(units) != 1 || !units[0].unit.Dim.IsNumber() || !angleSymbol().MatchString(units[0].text) || notAnAngle(units[0].text) {
		return "", "", false
	}
	if last := strings.TrimRight(at[1], " "); last != "" && isDigit(last[len(last)-1]) && !nameBefore(last) {
		return "", "", false // 2 deg + 3 deg
	}
	x, list := notation.ParseExpr(source.NewText("answer", respell(at[1], decimalComma).text))
	return at[1], units[0].text, !list.HasErrors() && (hasNames(x) || hasUnit(x))
}
