package notation

// kind is the kind of a token.
type kind uint8

const (
	tEnd         kind = iota // end of a statement
	tNewline                 // end of a line, before joinLines decides what it means
	tBad                     // a piece that cannot be read; aux finds its diagnostic
	tName                    // a name
	tWord                    // a reserved word
	tNumber                  // a number literal; aux finds its value
	tUnit                    // the unit after a number literal; aux finds its UnitRef
	tSuper                   // superscript digits, perhaps with a sign
	tText                    // "a label"
	tReason                  // because, with the free text to the line end
	tOpen                    // (
	tClose                   // )
	tBar                     // |
	tComma                   // ,
	tColon                   // :
	tDot                     // .
	tGap                     // ?
	tArrow                   // → or ->
	tInfinity                // ∞
	tRoot                    // √
	tCubeRoot                // ∛
	tFraction                // ½ ⅓ ¼ ¾
	tSumSign                 // ∑
	tIntSign                 // ∫
	tLimSign                 // lim before its _{
	tSub                     // the _ of ∫_0, Σ_{i=1}, lim_{n→∞}, [F]_a
	tOpenBrace               // { of an end: ∫_{0 m}^{L}
	tCloseBrace              // }
	tOpenSquare              // [ in derivations
	tCloseSquare             // ]
	tPrime                   // the ′ of θ′(x), in derivations
	tTherefore               // ⇒ or ∴
	tFactorial               // the ! of n!, in derivations
	tDegree                  // ° behind a product, in derivations
	tMuchLess                // ≪ or <<, in derivations
	tPlusMin                 // ± or +/-
	tOp                      // an operator of one or two characters; op says which
)

// A token is one piece of the text, with what the parser needs to know of it.
type token struct {
	kind  kind
	space bool  // white space stands before it on its line
	aux   int32 // index into the scanner's numbers, units or errors
	start int32
	end   int32
	op    Op     // for tOp
	text  string // as written; for tReason the reason without its word
}

func (t token) isWord(word string) bool { return t.kind == tWord && t.text == word }
func (t token) isName(name string) bool { return t.kind == tName && t.text == name }
func (t token) isOp(op Op) bool         { return t.kind == tOp && t.op == op }

// endsOperand reports whether an operand may end with t, which decides whether
// a bar after it closes, and what a comma or a point next to it means.
func (t token) endsOperand() bool {
	switch t.kind {
	case tName, tNumber, tUnit, tSuper, tClose, tCloseBrace, tCloseSquare, tFraction, tInfinity, tGap, tFactorial:
		return true
	}
	return false
}

// startsOperand reports whether an operand can start with t. A bar is left
// out: next to an operand it closes one.
func (t token) startsOperand() bool {
	switch t.kind {
	case tName, tNumber, tOpen, tOpenSquare, tRoot, tCubeRoot, tFraction, tSumSign, tIntSign, tLimSign, tInfinity:
		return true
	case tWord:
		return opensForm[t.text]
	}
	return false
}

var opensForm = map[string]bool{
	"sum": true, "product": true, "integral": true, "derivative": true,
	"root": true, "largest": true, "smallest": true, "limit": true, "if": true,
}

// mode is the kind of cell that is read.
type mode uint8

const (
	calcMode mode = iota
	shaftMode
	deriveMode
)

// follows holds, for each kind of cell, the free names that act as words when
// they come directly after an expression. Since multiplication is written,
// nothing else can be meant there.
var follows = [...]map[string]bool{
	calcMode: {"by": true, "starting": true, "typed": true, "up": true, "rows": true, "points": true,
		"spaced": true, "marked": true, "segments": true, "twisted": true, "times": true, "guessed": true, "figures": true,
		"figure": true, "places": true, "place": true},
	shaftMode: {"by": true, "bore": true, "G": true, "wall": true, "around": true, "along": true,
		"stiffness": true, "teeth": true, "drives": true, "out": true},
	deriveMode: {"where": true},
}
