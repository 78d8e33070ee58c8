// Package notation reads and writes the calculation notation: text to a tree
// with places, and back. It covers the form of statements, expressions, shaft
// cells and derivations, but not what a name means or what dimension
// it has (package check), nor how to evaluate it (package program).
//
// Reading never fails: whatever the text, the parser returns a tree and a
// source.List; a region that cannot be read becomes a Bad node, and the rest
// of the cell is read as usual.
package notation

import (
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

// A Node is any part of the tree. Nodes are never changed once parsed.
type Node interface {
	Span() source.Span
	node()
}

// Place is embedded by every node and holds its place in the text.
type Place struct{ At source.Span }

// Span returns the node's place in the text.
func (p Place) Span() source.Span { return p.At }
func (Place) node()               {}

// An Expr is a node with a value.
type Expr interface {
	Node
	expr()
}

type exprPlace struct{ Place }

func (exprPlace) expr() {}

// ExprAt makes the embedded place of an expression; for packages that build trees.
func ExprAt(at source.Span) exprPlace { return exprPlace{Place{at}} }

type (
	// Bad stands for a region that could not be read.
	Bad struct{ exprPlace }

	// Number is a number literal without a unit: 1200, 3.2×10⁻⁵.
	Number struct {
		exprPlace
		Text  string  // as written
		Value float64 // nearest float64
	}

	// Quantity is a number literal with its unit: 420 N·m, 0.4 %.
	Quantity struct {
		exprPlace
		Number *Number
		Unit   *UnitRef
	}

	// Name is a use of a name. Ident is the canonical spelling: Greek letters
	// spelled out are replaced by the letter, look-alike code points are folded.
	Name struct {
		exprPlace
		Ident string
	}

	// Call applies a function: a built-in (sqrt, low), one of the lesson's own,
	// or a name that turns out not to be a function (package check reports it).
	Call struct {
		exprPlace
		Fun  *Name
		Args []Expr
	}

	// Field reads a field of a shaft: S.twist, S.twist(x), S.reaction(0 m).
	// HasArgs distinguishes S.twist() from S.twist.
	Field struct {
		exprPlace
		X       *Name
		Field   string
		FieldAt source.Span
		HasArgs bool
		Args    []Expr
	}

	// Unary is a sign: -x, +x.
	Unary struct {
		exprPlace
		Op Op // OpNeg or OpPos
		X  Expr
	}

	// Binary is x + y, x - y, x·y, x/y, x^y. OpAt is the place of the operator.
	// A superscript (d⁴) is OpPow with Superscript set. A product whose sign was left
	// out has Implicit set, and OpAt is the place where it would be. A unit behind a product,
	// (a/b) MPa, is the product with 1 MPa, with UnitBehind set; it occurs only
	// as the whole side of a line of a derivation.
	Binary struct {
		exprPlace
		Op          Op
		OpAt        source.Span
		X, Y        Expr
		Superscript bool
		UnitBehind  bool
		Implicit    bool
	}

	// Paren is ( x ). It is kept for printing.
	Paren struct {
		exprPlace
		X Expr
	}

	// Abs is |x|.
	Abs struct {
		exprPlace
		X Expr
	}

	// Root is √x. sqrt(x) is a Call.
	Root struct {
		exprPlace
		X Expr
	}

	// Between is the bracket "between a and b".
	Between struct {
		exprPlace
		Low, High Expr
	}

	// PlusMinus is the bracket "a ± b".
	PlusMinus struct {
		exprPlace
		Mid, Half Expr
	}

	// Bind is a form that binds a name over a range or at a place:
	//
	//	sum, product, integral, root, largest, smallest of Body for Var from From to To
	//	derivative of Body for Var at From
	//	limit of Body as Var → From       (derivations only; From may be Infinity)
	//	[Body] with _{Var = From}^{To}    (derivations only)
	//	∫ Body dVar                       (the Left of a DeriveStep only)
	//
	//	n!, the product of i for i from 1 to n (derivations only)
	//
	// Glyph is set when it was written with ∑ or ∫, and with ! for a product.
	Bind struct {
		exprPlace
		Kind     BindKind
		Body     Expr
		Var      *Name
		From, To Expr // To is nil for derivative and limit, and both for ∫ E dx
		Glyph    bool
	}

	// Infinity is ∞; it occurs only in a limit and as an end of an integral, with
	// Sign -1 or +1.
	Infinity struct {
		exprPlace
		Sign int
	}

	// If is "if Cond then Then else Else".
	If struct {
		exprPlace
		Cond, Then, Else Expr
	}

	// Compare is a comparison, perhaps a chain: d_1 > d_0 > 0. It has one more
	// operand than operators.
	Compare struct {
		exprPlace
		Ops  []Op // OpLess, OpLessEq, OpGreater, OpGreaterEq, OpEqual, OpNotEqual
		OpAt []source.Span
		Xs   []Expr
	}

	// Logic is "x and y", "x or y", and "not x" (Y is nil).
	Logic struct {
		exprPlace
		Op   Op // OpAnd, OpOr, OpNot
		X, Y Expr
	}
)

// Op is an operator.
type Op int

const (
	OpNone      Op = iota
	OpAdd          // +
	OpSub          // − or -
	OpMul          // · * ×
	OpDiv          // / ÷
	OpPow          // ^ or a superscript
	OpNeg          // prefix −
	OpPos          // prefix +
	OpLess         // <
	OpLessEq       // ≤ or <=
	OpGreater      // >
	OpGreaterEq    // ≥ or >=
	OpEqual        // =  in a condition
	OpNotEqual     // ≠ or <>
	OpApprox       // ≈ or ~=, in expect and in derivations
	OpAnd          // and
	OpOr           // or
	OpNot          // not
	OpPropTo       // ∝, in derivations only
)

var opText = [...]string{"?", "+", "−", "·", "/", "^", "−", "+", "<", "≤", ">", "≥", "=", "≠", "≈", "and", "or", "not", "∝"}

// String returns the operator in its typeset spelling.
func (op Op) String() string { return opText[op] }

// BindKind is the kind of a form that binds a name.
type BindKind int

const (
	Sum            BindKind = iota // sum of E for i from A to B
	Product                        // product of E for i from A to B
	Integral                       // integral of E for x from A to B
	Derivative                     // derivative of E for x at A
	FindRoot                       // root of E for x from A to B
	Largest                        // largest of E for x from A to B
	Smallest                       // smallest of E for x from A to B
	Limit                          // limit of E as x → A
	Change                         // [E] with _{x = A}^{B}: E at B less E at A
	Antiderivative                 // ∫ E dx, without limits
)

var bindText = [...]string{"sum", "product", "integral", "derivative", "root", "largest", "smallest", "limit", "change", "antiderivative"}

// String returns the word that opens the form.
func (k BindKind) String() string { return bindText[k] }

// UnitRef is a unit as written, with what it means.
type UnitRef struct {
	Place
	Text  string        // as written: "N·m", "mm⁴"
	Unit  unit.Unit     // resolved
	Parts []source.Span // the place of each unit symbol, so that a note can point at one
}

// Display is the suffix "in deg to 3 figures" of a statement. It never changes
// the stored value. The zero Display means none was written.
type Display struct {
	Unit      *UnitRef // nil if none
	Figures   int      // significant figures; 0 if none
	Places    int      // decimal places, meaningful if HasPlaces
	HasPlaces bool
}

// A Stmt is a statement of a calculation cell.
type Stmt interface {
	Node
	stmt()
}

type stmtPlace struct{ Place }

func (stmtPlace) stmt() {}

type (
	// BadStmt is a line that could not be read at all.
	BadStmt struct{ stmtPlace }

	// Define is "name = expression".
	Define struct {
		stmtPlace
		Name    *Name
		Expr    Expr
		Display Display
	}

	// DefineFunc is "f(x, y) = expression".
	DefineFunc struct {
		stmtPlace
		Name   *Name
		Params []*Name
		Body   Expr
	}

	// Show is an expression whose value is shown.
	Show struct {
		stmtPlace
		Expr    Expr
		Display Display
	}

	// Vary is "vary n from 1 to 40 by 1 starting at 8 typed from 1 up to 1000". Step and
	// Start may be nil, and so may TypedFrom and TypedTo: what may be typed beyond the
	// slider's ends.
	Vary struct {
		stmtPlace
		Name                  *Name
		From, To, Step, Start Expr
		TypedFrom, TypedTo    Expr
	}

	// Expect is a plausibility check. Exactly one of the forms is used:
	//
	//	expect X between Low and High      Low, High set
	//	expect X within Bracket            Bracket set
	//	expect X ≈ Y within Tolerance      Approx, Tolerance set
	//	expect Cond                        Cond set (comparisons, and, or, not)
	Expect struct {
		stmtPlace
		X                 Expr
		Low, High         Expr
		Bracket           Expr
		Approx, Tolerance Expr
		Cond              Expr
	}

	// Column is one expression of a table or one curve of a plot.
	Column struct {
		Place
		Expr    Expr
		Display Display // its unit, if written
		Label   string  // from: as "twist"
	}

	// Range is "for x from A to B" with its sampling.
	Range struct {
		Place
		Var      *Name
		From, To Expr
		Step     Expr // by STEP, or nil
		Rows     Expr // in N rows (tables) or in N points (plots), or nil
		Ratio    bool // spaced by ratio
		Mark     Expr // marked at VALUE (plots), or nil
	}

	// Table is "table x in mm, J(x) in mm⁴ for x from 0 m to L in 6 rows".
	Table struct {
		stmtPlace
		Columns []*Column
		Range   *Range
	}

	// Plot is "plot d(x) in mm as "diameter" for x from 0 m to L on log axes".
	Plot struct {
		stmtPlace
		Columns []*Column
		Range   *Range
		LogX    bool
		LogY    bool
	}

	// SegmentTable is "table of S in n segments in deg to 6 figures": every segment of
	// the model that "draw S in n segments" draws, with the running sum of the twists.
	SegmentTable struct {
		stmtPlace
		Shaft    *Name
		Segments Expr
		Display  Display // of the twists
	}

	// ToleranceTable is "table of tolerances of θ in deg to 4 figures": what each
	// tolerance behind a bracket makes of it, alone and together with the others.
	ToleranceTable struct {
		stmtPlace
		Expr    Expr
		Display Display
	}

	// Trials is "trials of θ_n in deg between a and b for n at 2, 4 guessed 0.69 deg
	// at 8": the columns at the values of a slider that were tried. At most one of
	// Bracket and Low is set: the bracket of the first column. Tried is empty where
	// nothing was tried yet.
	Trials struct {
		stmtPlace
		Columns   []*Column
		Low, High Expr // between LOW and HIGH, or nil
		Bracket   Expr // within BRACKET, or nil
		Var       *Name
		Tried     []Expr
		Guesses   []Guess
	}

	// A ReadingsAxis is one of the two quantities of readings: "θ in deg". Its name is
	// a heading and defines nothing. Unit is nil for a pure number.
	ReadingsAxis struct {
		Name *Name
		Unit *UnitRef
	}

	// A Guess is "0.69 deg at 8": what the first column is expected to be there.
	Guess struct{ Value, At Expr }

	// Readings is "readings test of T in N·m, θ in deg: 0: 0.02, 10: 0.31": pairs that
	// were read from instruments, at most MaxReadings of them. X and Y are what was set
	// and what was read; Xs and Ys have the same length.
	Readings struct {
		stmtPlace
		Name   *Name
		X, Y   ReadingsAxis
		Xs, Ys []Expr
	}

	// Line is "line fit through test and origin without 7": the straight line through
	// readings by least squares. Without holds the numbers of those left out, from 1.
	Line struct {
		stmtPlace
		Name    *Name
		Through *Name
		Origin  bool // it goes through the origin
		Without []Expr
	}

	// PlotLine is "plot test", "plot fit" or "plot residuals of fit": readings, with
	// the line through them, or how far each is from the line.
	PlotLine struct {
		stmtPlace
		Of        *Name
		Residuals bool
	}

	// Draw is "draw S", "draw S in n segments", "draw S twisted 20 times", "draw S
	// with axial arrows", "draw S alone", or one of the forms of DrawForm.
	// X is set in a section and a cut. Segments and Times are nil if absent.
	Draw struct {
		stmtPlace
		Form            DrawForm
		Shaft           *Name
		X               Expr
		Segments, Times Expr
		Axial           bool
		Alone           bool // without the diagrams under it
	}

	// Prefer is "prefer mm, MPa, deg": units in which results are shown unless
	// a statement names another. It holds for the whole lesson.
	Prefer struct {
		stmtPlace
		Units []*UnitRef
	}
)

// A DrawForm is what of a shaft is drawn.
type DrawForm uint8

// The forms of draw.
const (
	DrawShaft      DrawForm = iota // draw S
	DrawSection                    // draw section of S at x
	DrawCut                        // draw cut of S at x
	DrawTwisting                   // draw S before and after
	DrawCompanions                 // draw S between uniform companions
)

// Cell is a calculation cell: its statements in the order of the text.
type Cell struct {
	Text  *source.Text
	Stmts []Stmt
}

// ShaftCell is a shaft cell: lines in the order of the text. The name of the
// shaft is outside the text, in the opening line of the cell.
type ShaftCell struct {
	Text  *source.Text
	Lines []ShaftLine
}

// Span returns the whole text of the cell.
func (c *ShaftCell) Span() source.Span {
	return source.Span{Text: c.Text, Start: 0, End: len(c.Text.Content)}
}

func (*ShaftCell) node() {}

// A ShaftLine is one line of a shaft cell.
type ShaftLine interface {
	Node
	shaftLine()
}

type shaftPlace struct{ Place }

func (shaftPlace) shaftLine() {}

type (
	// ShaftBad is a line that could not be read.
	ShaftBad struct{ shaftPlace }

	// ShaftModulus is "G = 79 GPa"; it holds for the pieces below it.
	ShaftModulus struct {
		shaftPlace
		G Expr
	}

	// ShaftYield is "yields at 150 MPa": the yield stress in shear of the pieces
	// below it.
	ShaftYield struct {
		shaftPlace
		Stress Expr
	}

	// ShaftSolid is "solid 36 mm for 200 mm" or "solid 36 mm to 54 mm for 800 mm".
	// D1 is nil for a uniform piece.
	ShaftSolid struct {
		shaftPlace
		D0, D1 Expr
		Length Expr
	}

	// ShaftHollow is "hollow 54 mm to 40 mm bore 20 mm to 14 mm for 150 mm".
	// D1 and B1 are nil where that diameter is uniform.
	ShaftHollow struct {
		shaftPlace
		D0, D1, B0, B1 Expr
		Length         Expr
	}

	// ShaftProfile is "profile d(x) for 0.5 m"; x in D counts from the start of
	// the piece. Bore may be nil ("profile D bore B for L").
	ShaftProfile struct {
		shaftPlace
		D, Bore Expr
		Length  Expr
	}

	// ShaftMeasured is "measured 0 mm: 36.1 mm, 150 mm: 37.9 mm, …": stations
	// from the start of the piece with the diameter found there; the piece ends
	// at the last station.
	ShaftMeasured struct {
		shaftPlace
		X, D []Expr
	}

	// ShaftSection is a piece that is not round: "square 40 mm for 300 mm",
	// "rectangle 60 mm by 40 mm for …", "ellipse 60 mm by 40 mm for …" (full
	// axes), "triangle 50 mm for …" (equilateral, side), "tube area 17850 mm²
	// around 514 mm wall 8 mm for …" (closed thin wall: area enclosed by the
	// median line, its length, the thickness), "open wall 6 mm along 80 mm and wall 4 mm
	// along 60 mm for …" (open thin wall: thickness and length of each part).
	ShaftSection struct {
		shaftPlace
		Kind   SectionKind
		Sizes  []Expr
		Length Expr
	}

	// ShaftCore is "core 20 mm G 26 GPa": a bonded core inside the piece above.
	ShaftCore struct {
		shaftPlace
		D, G Expr
	}

	// ShaftHold is "fixed at 0 mm" or "hold at 0 mm", which mean the same; Fixed
	// keeps which was written. Stiffness (torque per angle) is nil for a rigid
	// hold, set for "hold at 0 mm stiffness 12 kN·m".
	ShaftHold struct {
		shaftPlace
		X         Expr
		Stiffness Expr
		Fixed     bool
	}

	// ShaftTorque is "torque 420 N·m at 1300 mm".
	ShaftTorque struct {
		shaftPlace
		T, X Expr
	}

	// ShaftSpread is "torque 150 N·m/m from 200 mm to 1000 mm", or, varying
	// linearly, "torque 150 N·m/m to 0 N·m/m from 200 mm to 1000 mm" (T1 set).
	// "distributed" may stand before it; Distributed keeps whether it was written.
	ShaftSpread struct {
		shaftPlace
		T0, T1      Expr
		From, To    Expr
		Distributed bool
	}

	// ShaftPower is "power 12 kW at 1450 rpm at 300 mm": the torque P/ω at x.
	// Out is set for "power 12 kW out at 1450 rpm at 300 mm", taken off, which
	// counts negative.
	ShaftPower struct {
		shaftPlace
		P, Speed, X Expr
		Out         bool
	}

	// ShaftAllow is "allow stress 40 MPa" or "allow twist 1 deg/m": a limit
	// that is checked and reported.
	ShaftAllow struct {
		shaftPlace
		What  string // "stress" or "twist"
		Limit Expr
	}

	// ShaftGear is "gear 36 teeth at 400 mm drives R 54 teeth at 0 mm": the two
	// shafts turn together by the tooth ratio, in opposite senses.
	ShaftGear struct {
		shaftPlace
		Teeth      Expr
		X          Expr
		Other      *Name
		OtherTeeth Expr
		OtherX     Expr
	}
)

// SectionKind is the outline of a piece that is not round.
type SectionKind int

const (
	Square    SectionKind = iota // side
	Rectangle                    // long side, short side (either order)
	Ellipse                      // full axes
	Triangle                     // equilateral, side
	ThinTube                     // enclosed area, median length, wall
	OpenWall                     // thickness and length of each part
)

// DeriveCell is a derivation: its givens and definitions, then its steps.
type DeriveCell struct {
	Text  *source.Text
	Lines []DeriveLine
}

// A DeriveLine is one line of a derivation.
type DeriveLine interface {
	Node
	deriveLine()
}

type derivePlace struct{ Place }

func (derivePlace) deriveLine() {}

type (
	// DeriveBad is a line that could not be read.
	DeriveBad struct{ derivePlace }

	// Given is "given T: torque > 0, G: stress > 0, d_1 > d_0 > 0 mm".
	Given struct {
		derivePlace
		Items []GivenItem
	}

	// DeriveDefine is "k = (d_1 − d_0)/L" or "d(x) = d_0 + k·x". Where steps
	// follow, it is the first line of their chain.
	DeriveDefine struct {
		derivePlace
		Lead   string // "⇒" or "∴" before the line, or ""
		Name   *Name
		Over   *Name   // dx in dθ/dx = …, where Name is dθ; else nil
		Params []*Name // nil for a value
		Expr   Expr
		Reason string // after because
	}

	// DeriveStep is "= expression", or another relation (<, ≤, >, ≥, ≈), with its
	// reason and its substitution. It claims something of the line above, or of
	// Left where that is written: "J(x) ≥ J_0 for 0 m ≤ x ≤ L".
	// Gap is set for "= ?"; X is then nil.
	DeriveStep struct {
		derivePlace
		Lead     string // "⇒" or "∴" before the line, or ""
		Left     Expr   // nil for the line above
		Op       Op
		X        Expr
		Domain   *Compare // after for, or nil
		Constant []*Name  // after for constant
		Small    *Name    // after for small, or before ≪; nil if neither is there
		SmallTo  Expr     // after ≪; nil for "for small k"
		Gap      bool
		Reason   string // after because
		With     *Name  // with u = …, or nil
		WithX    Expr   // the right side of the substitution
	}
)

// GivenItem names one or more given names with their dimension and domain.
type GivenItem struct {
	Place
	Name   *Name
	Word   string // trade word ("torque", "second moment of area"), WholeNumber, or ""
	WordAt source.Span
	Unit   *UnitRef // L: m, or nil
	Domain *Compare // the comparison chain the name stands in, or nil
}

// ShowsUnit reports whether the unit of a given has to be written: a bound of its domain,
// as in C > 0 N⁻¹·m⁻¹, may say it already.
func (g GivenItem) ShowsUnit() bool {
	if g.Unit == nil || g.Domain == nil {
		return g.Unit != nil
	}
	said := false
	Inspect(g.Domain, func(n Node) bool {
		q, is := n.(*Quantity)
		said = said || is && q.Unit != nil && q.Unit.Unit.Dim == g.Unit.Unit.Dim
		return !said
	})
	return !said
}
