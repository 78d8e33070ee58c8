package check

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/pattern"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
	"shaftbook/kernel/words"
)

// piece returns the text of a node, shortened if it is long.
func piece(n notation.Node) string {
	text := strings.Join(strings.Fields(n.Span().Content()), " ")
	if runes := []rune(text); len(runes) > 40 {
		return string(runes[:38]) + "…"
	}
	return text
}

// describe returns what a value is, in the reader's words and with the reader's
// text: "a length (36 mm)", "a torque (T = 420 N·m)".
func (c *Checker) describe(e notation.Expr, t Type) string {
	return fmt.Sprintf("%s (%s)", c.wordFor(e, t), c.reader(e))
}

// wordFor is WordOf for an expression, or for what defines it where it is a name.
func (c *Checker) wordFor(e notation.Expr, t Type) string {
	name, ok := notation.Unparen(e).(*notation.Name)
	if !ok {
		return WordOf(e, t)
	}
	if _, isLocal := c.lookupLocal(name.Ident); isLocal {
		return wordOf(t)
	}
	s, ok := c.scope.Symbol(name.Ident)
	if !ok {
		return wordOf(t)
	}
	if word := UsualWord(name.Ident, t.Dim); word != Word(t.Dim) {
		return word
	}
	return WordOf(s.Expr, t)
}

// reader returns the text of e; a name whose definition is a plain quantity
// shows that quantity too.
func (c *Checker) reader(e notation.Expr) string {
	name, ok := notation.Unparen(e).(*notation.Name)
	if !ok {
		return piece(e)
	}
	if _, bound := c.lookupLocal(name.Ident); bound {
		return piece(e)
	}
	s, ok := c.scope.Symbol(name.Ident)
	if !ok || s.Expr == nil {
		return piece(e)
	}
	if _, literal := s.Expr.(*notation.Quantity); literal {
		return name.Ident + " = " + piece(s.Expr)
	}
	return piece(e)
}

// Word returns the trade's word for a dimension, with its article.
func Word(d unit.Dimension) string { return unit.Describe(d) }

// mismatch reports that two values cannot be added, subtracted, compared.
// verb is the sentence with both sides' descriptions as %s.
func (c *Checker) mismatch(at source.Span, sentence string, x notation.Expr, tx Type, y notation.Expr, ty Type) {
	c.clash(tx.Dim, ty.Dim)
	d := c.list.Addf(at, CodeDimension, sentence, c.describe(x, tx), c.describe(y, ty))
	switch {
	case tx.Dim == ty.Dim && turnsAndCycles(tx.Speed, ty.Speed):
		d.Code, d.Repair = CodeTurns, turnsRepair
		c.relate(d, x, tx)
		c.relate(d, y, ty)
	case ty.Dim.IsNumber():
		c.repairBare(d, y, tx)
	case tx.Dim.IsNumber():
		c.repairBare(d, x, ty)
	default:
		c.relate(d, x, tx)
		c.relate(d, y, ty)
	}
}

// repairBare offers a unit for a bare number that met a quantity.
func (c *Checker) repairBare(d *source.Diagnostic, e notation.Expr, want Type) {
	lit, ok := notation.Unparen(e).(*notation.Number)
	if !ok {
		d.Repair = fmt.Sprintf("%s is a pure number; a factor with a unit may be missing in it", piece(e))
		return
	}
	u := want.Unit
	if u == nil {
		chosen := unit.Choose(0, want.Dim, nil, unit.NoHint)
		u = &chosen
	}
	if c.UnitFor != nil {
		text, sure := c.UnitFor(lit.Value, want.Dim)
		if !sure {
			d.Repair = fmt.Sprintf("give it a unit, as in %s %s", lit.Text, text)
			return
		}
		u = &unit.Unit{Text: text}
	}
	d.Repair = fmt.Sprintf("give it a unit: %s %s", lit.Text, u.Text)
	d.Fix = &source.Fix{Span: lit.Span(), Text: lit.Text + " " + u.Text}
}

// relate points at the definition of a name that met a wrong dimension.
func (c *Checker) relate(d *source.Diagnostic, e notation.Expr, t Type) {
	name, ok := notation.Unparen(e).(*notation.Name)
	if !ok {
		return
	}
	if s, ok := c.scope.Symbol(name.Ident); ok && s.At.IsValid() {
		d.Related = append(d.Related, source.Related{Span: s.At,
			Message: fmt.Sprintf("%s is %s", name.Ident, c.wordFor(e, t))})
	}
}

// undefined reports a name that nothing defines, with the nearest that is.
func (c *Checker) undefined(n *notation.Name) {
	for _, d := range c.list {
		if d.Code == CodeUndefined && d.Span.Content() == n.Span().Content() {
			return // said where it is first used
		}
	}
	d := c.list.Addf(n.Span(), CodeUndefined, "%s is not defined here", n.Ident)
	candidates := c.scope.All()
	for _, l := range c.local {
		candidates = append(candidates, l.ident)
	}
	if parts := c.knownParts(n.Ident); parts != nil {
		c.offerProduct(d, n, parts)
		return
	}
	if product, ok := writtenTogether(n.Ident, candidates); ok {
		d.Repair = "for a product write " + product
		return
	}
	if c.joinsUnit(d, n) || callWithoutBrackets(d, n) {
		return
	}
	if word := notation.NearOpening(n.At.Content()); word != "" && opensLine(n.At) {
		d.Repair = "did you mean " + word + "?"
		d.Fix = &source.Fix{Span: n.At, Text: word}
		return
	}
	if isPi := n.Ident == "PI" || n.Ident == "Π"; isPi {
		d.Repair = "write π, or pi"
		d.Fix = &source.Fix{Span: n.Span(), Text: "π"}
		return
	}
	if suggest(d, n.Span(), Nearest(n.Ident, candidates)) {
		return
	}
	if _, isUnit := unit.Lookup(n.Ident); isUnit {
		d.Repair = fmt.Sprintf("define it: %[1]s = …; if the unit is meant, write it after a number: 1 %[1]s", n.Ident)
		return
	}
	d.Repair = fmt.Sprintf("define it: %s = …", n.Ident)
}

// joinsUnit offers the unit of 500 N / mm² and 420 N × m without blanks in it, where
// the second symbol is not a name.
func (c *Checker) joinsUnit(d *source.Diagnostic, n *notation.Name) bool {
	text := n.At.Text.Content[:n.At.Start]
	before := strings.TrimRight(text, " ")
	sign, size := utf8.DecodeLastRuneInString(before)
	ours := map[rune]string{'/': "/", '÷': "/", '·': "·", '*': "·", '×': "·", '∙': "·", '⋅': "·", '•': "·"}[sign]
	if _, isUnit := unit.Lookup(n.At.Content()); !isUnit || ours == "" {
		return false
	}
	first := strings.TrimRight(before[:len(before)-size], " ")
	word := first[strings.LastIndexAny(first, " 0123456789.")+1:]
	number := strings.TrimRight(strings.TrimSuffix(first, word), " ")
	isNumber := number != "" && strings.ContainsRune("0123456789.", rune(number[len(number)-1]))
	if _, err := unit.Parse(word); err != nil || word == "" || !isNumber || len(first)+size == n.At.Start {
		if ours != "/" {
			return false
		}
		at := n.At // d/mm
		at.End += len(powerBehind().FindString(n.At.Text.Content[at.End:]))
		d.Repair = "a unit follows a number: write (1 " + at.Content() + ")"
		if last := first[max(len(first)-1, 0):]; last != "" && !strings.ContainsAny(last, "0123456789.") && utf8.RuneCountInString(n.Ident) > 1 {
			d.Fix = &source.Fix{Span: at, Text: "(1 " + at.Content() + ")"} // 180/m may lack more of its unit, and l be another name
		}
		return true
	}
	d.Repair = "write the unit without blanks, " + word + ours + n.At.Content()
	at := n.At
	at.Start, at.End = len(first), n.At.Start
	d.Fix = &source.Fix{Span: at, Text: ours}
	return true
}

// callWithoutBrackets offers sin(30) for sin30.
func callWithoutBrackets(d *source.Diagnostic, n *notation.Name) bool {
	word := n.At.Content()
	name := strings.TrimRight(word, "0123456789")
	b, ok := notation.LookupBuiltin(strings.ToLower(name))
	if !ok || name == word || b.MaxArgs != 1 || b.MinArgs != 1 {
		return false
	}
	number := word[len(name):]
	ways := []string{b.Name + "(" + number + ")"}
	if takes(b.Name) != "a pure number" {
		ways = []string{b.Name + "(" + number + "°)", ways[0]}
	}
	d.Repair = "write " + words.Or(ways)
	if len(ways) == 1 {
		d.Fix = &source.Fix{Span: n.At, Text: ways[0]}
		return true
	}
	for _, way := range ways {
		d.Choose(n.At, way)
	}
	return true
}

// opensLine reports whether a word begins a line and a blank and more follow it.
func opensLine(at source.Span) bool {
	text := at.Text.Content
	before := text[strings.LastIndexByte(text[:at.Start], '\n')+1 : at.Start]
	return strings.TrimSpace(before) == "" && strings.HasPrefix(text[at.End:], " ")
}

// powerBehind is the power that may follow a name.
var powerBehind = pattern.New(`^(\^\d+|[²³⁴⁵⁶])?`)

// offerProduct offers the product of names that are written together. Between names
// other than π any sign may be missing, and after a stroke nothing shows how far it
// divides.
func (c *Checker) offerProduct(d *source.Diagnostic, n *notation.Name, parts []string) {
	product := strings.Join(parts, "·")
	d.Repair = "for the product write " + product
	text := n.At.Text.Content
	if !strings.HasSuffix(strings.TrimRight(text[:n.At.Start], " "), "/") {
		if slices.Contains(parts, "π") {
			d.Fix = &source.Fix{Span: n.At, Text: product}
		} else {
			d.Choose(n.At, product)
		}
		return
	}
	at := n.At
	at.End += len(powerBehind().FindString(text[at.End:]))
	product += text[n.At.End:at.End]
	d.Repair = "write /(" + product + ") to divide by all of it, or /" + product
	d.Choose(at, "("+product+")").Choose(at, product)
}

// knownParts splits a word into two or three names that are known, as πd into π
// and d; nil if it is not one.
func (c *Checker) knownParts(word string) []string {
	runes := []rune(word)
	if len(runes) < 2 || len(runes) > 12 {
		return nil
	}
	isKnown := func(ident string) bool {
		if _, ok := c.lookupLocal(ident); ok || ident == "π" {
			return true
		}
		s, ok := c.scope.Symbol(ident)
		return ok && s.Kind == Value
	}
	for i := 1; i < len(runes); i++ {
		first, rest := string(runes[:i]), string(runes[i:])
		if !isKnown(first) {
			continue
		}
		if isKnown(rest) {
			return []string{first, rest}
		}
		for j := i + 1; j < len(runes); j++ {
			if second, third := string(runes[i:j]), string(runes[j:]); isKnown(second) && isKnown(third) {
				return []string{first, second, third}
			}
		}
	}
	return nil
}

// strangers reports the first factor of a product without signs that is a name
// nobody defines. One message is enough: most often the words are no product.
func (c *Checker) strangers(e *notation.Binary) bool {
	if x, ok := e.X.(*notation.Binary); ok && x.Implicit && c.strangers(x) {
		return true
	}
	for _, side := range []notation.Expr{e.X, e.Y} {
		n, ok := side.(*notation.Name)
		if !ok || n.Ident == "π" || c.isDefined(n.Ident) {
			continue
		}
		number, after := e.X.(*notation.Number)
		if after && side == e.Y && notation.LooksLikeUnit(n.At.Content()) && c.knownParts(n.Ident) == nil {
			c.list = append(c.list, notation.NotAUnit(n.At, n.At.Content(), number.Text))
			return true
		}
		c.undefined(n)
		if _, isQuantity := e.X.(*notation.Quantity); isQuantity && side == e.Y {
			c.list[len(c.list)-1].Repair += "; a remark begins with #"
		}
		return true
	}
	return false
}

func (c *Checker) isDefined(ident string) bool {
	if _, ok := c.lookupLocal(ident); ok {
		return true
	}
	_, ok := c.scope.Symbol(ident)
	return ok
}

// writtenTogether reports whether a word reads as a known name and a number or
// another known name, functions among them, between which a sign was left out;
// product is the two as a product.
func writtenTogether(name string, known []string) (product string, ok bool) {
	for i := range name {
		first, second := name[:i], name[i:]
		if i == 0 || !isKnown(first, known) {
			continue
		}
		if isNumber := strings.Trim(second, "0123456789") == ""; isNumber && !slices.Contains(known, first+"_"+second) || isKnown(second, known) {
			return first + "·" + second, true
		}
	}
	return "", false
}

func isKnown(name string, known []string) bool { return name == "π" || slices.Contains(known, name) }

const mostNamed = 6 // shafts that a message lists

// undefinedShaft reports a shaft that has no cell, with the nearest name.
func (c *Checker) undefinedShaft(n *notation.Name) {
	d := c.list.Addf(n.Span(), CodeUndefined, "there is no shaft %s in this lesson", n.Ident)
	var shafts []string
	for _, ident := range c.scope.All() {
		if s, ok := c.scope.Symbol(ident); ok && s.Kind == ShaftName {
			shafts = append(shafts, ident)
		}
	}
	switch {
	case suggest(d, n.Span(), Nearest(n.Ident, shafts)):
	case len(shafts) == 1:
		d.Repair = "the only shaft here is " + shafts[0]
	case len(shafts) > mostNamed:
		d.Repair = fmt.Sprintf("there are %d shafts here, among them %s", len(shafts), strings.Join(shafts[:mostNamed], ", "))
	case len(shafts) > 1:
		d.Repair = "the shafts here are " + strings.Join(shafts, ", ")
	default:
		d.Repair = "a shaft has a cell of its own, with its name in the opening line"
	}
}

// Nearest returns the candidates with the least edit distance to name, if that is
// small enough for a slip of the finger. More than one are equally near, and which
// is meant is not known.
func Nearest(name string, candidates []string) []string {
	var best []string
	least := 2 // changes; in a short name one makes another name
	if len([]rune(name)) < 5 {
		least = 1
	}
	for _, candidate := range candidates {
		if slices.Contains(best, candidate) {
			continue
		}
		d := editDistance([]rune(name), []rune(candidate))
		if strings.EqualFold(name, candidate) || !strings.HasSuffix(name, "_") && strings.ReplaceAll(candidate, "_", "") == strings.ReplaceAll(name, "_", "") {
			d = 0
		}
		switch {
		case d > least || d >= len([]rune(name)):
		case d < least:
			least, best = d, []string{candidate}
		default:
			best = append(best, candidate)
		}
	}
	return best
}

// suggest offers the nearest names for a misspelt one; the repair can be pressed
// only where one is nearer than all others. It reports whether there is any.
func suggest(d *source.Diagnostic, at source.Span, near []string) bool {
	const most = 3
	if len(near) == 0 {
		return false
	}
	d.Repair = "did you mean " + words.Or(near[:min(len(near), most)]) + "?"
	if len(near) == 1 && isSlip(at.Content(), near[0]) {
		d.Fix = &source.Fix{Span: at, Text: near[0]}
	}
	return true
}

// isSlip reports whether a name is another mistyped, rather than a name of its own:
// only capitals, underscores or look-alikes differ, or, in a longer name, one letter.
// Another index, as in d_2 for d_1, θ_max for θ_min or d_o for d_i, is another name, and
// so is another name of one or two letters.
func isSlip(name, near string) bool {
	if _, index, _ := strings.Cut(near, "_"); len([]rune(index)) == 1 && name != near && strings.EqualFold(name, near) {
		return false // θ_D for θ_d, where there may be a θ_B too
	}
	if isSpeltAlike(name, near) {
		return utf8.RuneCountInString(name) > 1
	}
	if utf8.RuneCountInString(name) < 3 || unit.Slips(name, near) > 2 {
		return false
	}
	a, b := []rune(name), []rune(near)
	for len(a) > 0 && len(b) > 0 && a[0] == b[0] {
		a, b = a[1:], b[1:]
	}
	for len(a) > 0 && len(b) > 0 && a[len(a)-1] == b[len(b)-1] {
		a, b = a[:len(a)-1], b[:len(b)-1]
	}
	_, index, hasIndex := strings.Cut(near, "_")
	differs := string(a) + string(b)
	isIndex := hasIndex && len([]rune(index)) == 1 && strings.HasSuffix(near, string(b)) && len(b) == 1
	return !isIndex && !strings.ContainsAny(differs, "0123456789")
}

// lookAlikes maps letters to digits that look the same.
var lookAlikes = strings.NewReplacer("_", "", "o", "0", "O", "0", "l", "1", "I", "1")

func isSpeltAlike(name, near string) bool {
	return strings.EqualFold(strings.ReplaceAll(name, "_", ""), strings.ReplaceAll(near, "_", "")) || lookAlikes.Replace(name) == lookAlikes.Replace(near)
}

// editDistance is Levenshtein's, over runes.
func editDistance(a, b []rune) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range a {
		diagonal := row[0]
		row[0] = i + 1
		for j := range b {
			cost := 1
			if a[i] == b[j] {
				cost = 0
			}
			diagonal, row[j+1] = row[j+1], min(row[j+1]+1, row[j]+1, diagonal+cost)
		}
	}
	return row[len(b)]
}
