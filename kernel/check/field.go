package check

import (
	"fmt"
	"slices"
	"strings"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
	"shaftbook/kernel/words"
)

// A FieldForm is one way to ask a shaft for a value.
type FieldForm struct {
	Name    string
	Arg     string // "x" (a place along the shaft), "x, r" (and a radius there), "n" (a count), or "" for none
	Result  Type
	Meaning string
}

var (
	lengthDim  = unit.Base(1, 0, 0)
	torqueDim  = unit.Base(2, 1, -2)
	stressDim  = unit.Base(-1, 1, -2)
	momentDim  = unit.Base(4, 0, 0)
	perLength  = unit.Base(-1, 0, 0)
	angleType  = Type{Kind: Number, Angle: IsAngle}
	lengthType = number(lengthDim)
	torqueType = number(torqueDim)
	stressType = number(stressDim)
)

// written returns the type of a value that is shown in a unit of its own.
func written(text string, angle Angle) Type {
	u, err := unit.Parse(text)
	if err != nil {
		panic("check: unit of a field: " + err.Error())
	}
	return Type{Kind: Number, Dim: u.Dim, Angle: angle, Unit: &u}
}

// FieldForms are the values a shaft can be asked for. The sign of a torque or
// a twist is positive about the +x axis by the right-hand rule.
var FieldForms = []FieldForm{
	{"twist", "", angleType, "rotation of the far end relative to the section at x = 0"},
	{"twist", "x", angleType, "rotation of the section at x relative to the section at x = 0"},
	{"rate", "x", written("rad/m", IsAngle), "twist per length at x"},
	{"torque", "x", torqueType, "internal torque at x"},
	{"J", "x", number(momentDim), "polar second moment of area at x; the torsion constant of a section that is not round"},
	{"d", "x", lengthType, "outside diameter at x"},
	{"bore", "x", lengthType, "bore diameter at x"},
	{"stress", "x", stressType, "greatest shear stress on the section at x"},
	{"stress", "x, r", stressType, "shear stress at the radius r of the section at x"},
	{"stress_max", "", stressType, "greatest shear stress anywhere in the shaft"},
	{"stress_at", "", lengthType, "where the shear stress is greatest"},
	{"yield_torque", "x", torqueType, "torque at which the surface of the section at x begins to yield"},
	{"plastic_torque", "x", torqueType, "torque under which all of the section at x yields"},
	{"elastic_core", "x", lengthType, "diameter within which the section at x is still elastic"},
	{"permanent_twist", "", angleType, "twist of the far end that remains after unloading"},
	{"permanent_twist", "x", angleType, "twist of the section at x that remains after unloading"},
	{"spring_back", "", angleType, "twist of the far end that goes back on unloading"},
	{"spring_back", "x", angleType, "twist of the section at x that goes back on unloading"},
	{"residual_stress", "x, r", stressType, "shear stress that remains at the radius r of the section at x after unloading; negative against the stress of the load"},
	{"reaction", "x", torqueType, "torque that the hold at x exerts on the shaft"},
	{"rotation", "x", angleType, "rotation of the section at x relative to ground, which the holds of this shaft or of one that gears join to it fix"},
	{"stiffness_at", "x", written("kN·m/rad", Unknown), "torque on the section at x per radian that it turns relative to ground, with what gears join to the shaft"},
	{"length", "", lengthType, "length"},
	{"stiffness", "", written("kN·m/rad", Unknown), "torque at the ends per radian of twist between them"},
	{"energy", "", written("J", Unknown), "strain energy"},
	{"segments", "n", angleType, "twist by n uniform segments per piece, diameter taken at mid-length"},
	{"bracket", "n", Type{Kind: Bracket, Angle: IsAngle}, "guaranteed bracket of the twist from n segments per piece"},
}

// IsNominal reports whether a field of a shaft with tolerances is that of its
// nominal shaft. All others are brackets.
func IsNominal(field string) bool {
	return field == "length" || field == "stress_at" || field == "segments"
}

func (c *Checker) field(e *notation.Field) Type {
	args := make([]Type, len(e.Args))
	bad := false
	for i, a := range e.Args {
		args[i] = c.quantity(a)
		bad = bad || args[i].Kind == Invalid
	}
	s, ok := c.scope.Symbol(e.X.Ident)
	_, bound := c.lookupLocal(e.X.Ident)
	if ok && !bound && (s.Kind == ReadingsName || s.Kind == LineName) {
		if bad {
			return invalid
		}
		return c.readingsField(e, s, args)
	}
	if bound || ok && s.Kind != ShaftName {
		c.list.Addf(e.X.Span(), CodeField, "%s is not a shaft, so it has no .%s", e.X.Ident, e.Field).
			Repair = "a full stop is no multiplication: write ·"
		return invalid
	}
	if !ok {
		c.noShaft(e.X)
		return invalid
	}
	form, ok := c.fieldForm(e)
	if !ok || bad {
		return invalid
	}
	return c.fieldArgument(e, form, args)
}

// noShaft reports a field of a shaft that no cell defines.
func (c *Checker) noShaft(n *notation.Name) {
	d := c.list.Addf(n.Span(), CodeUndefined, "there is no shaft %s in this lesson", n.Ident)
	if !suggest(d, n.Span(), Nearest(n.Ident, c.scope.All())) {
		d.Repair = "describe it in a shaft cell of that name"
	}
}

// takes returns how many arguments a form has.
func (f FieldForm) takes() int {
	if f.Arg == "" {
		return 0
	}
	return 1 + strings.Count(f.Arg, ",")
}

// fieldForm picks the form by name and number of arguments; of too many, the form
// with one.
func (c *Checker) fieldForm(e *notation.Field) (FieldForm, bool) {
	var named []FieldForm
	for _, f := range FieldForms {
		if f.Name != e.Field {
			continue
		}
		if f.takes() == len(e.Args) {
			return f, true
		}
		named = append(named, f)
	}
	for _, f := range named {
		if f.takes() > 0 && len(e.Args) > 0 {
			return f, true // fieldArgument reports how many there are
		}
	}
	at := source.Span{Text: e.FieldAt.Text, Start: e.FieldAt.Start, End: e.Span().End}
	if len(named) == 0 {
		d := c.list.Addf(e.FieldAt, CodeField, "a shaft has no value called %s", e.Field)
		if !suggest(d, e.FieldAt, Nearest(e.Field, strings.Split(fieldNames(), ", "))) {
			d.Repair = "it has " + fieldNames()
		}
		return FieldForm{}, false
	}
	if named[0].Arg == "" {
		c.list.Addf(at, CodeArguments, "%s.%s takes no argument", e.X.Ident, e.Field).Repair = "write " + e.X.Ident + "." + e.Field
	} else {
		c.list.Addf(at, CodeArguments, "%s.%s needs its argument", e.X.Ident, e.Field).
			Repair = fmt.Sprintf("write %s.%s(%s)", e.X.Ident, e.Field, named[0].Arg)
	}
	return FieldForm{}, false
}

func fieldNames() string {
	var names []string
	for _, f := range FieldForms {
		if !slices.Contains(names, f.Name) {
			names = append(names, f.Name)
		}
	}
	return strings.Join(names, ", ")
}

func (c *Checker) fieldArgument(e *notation.Field, form FieldForm, args []Type) Type {
	t := form.Result
	if s, ok := c.scope.Symbol(e.X.Ident); ok && s.Type.Kind == Bracket && !IsNominal(form.Name) {
		t.Kind = Bracket
	}
	if form.Arg == "" {
		return t
	}
	if n := form.takes(); len(args) != n {
		c.list.Addf(e.Span(), CodeArguments, "%s.%s takes %s, and here it has %d", e.X.Ident, e.Field, words.Count(n, "argument"), len(args)).
			Repair = fmt.Sprintf("write %s.%s(%s)", e.X.Ident, e.Field, form.Arg)
		return invalid
	}
	if form.Arg == "n" {
		if c.countable(e.Args[0], "the number of segments").Kind == Invalid {
			return invalid
		}
		return t
	}
	if args[0].Dim != lengthDim && !args[0].Zero {
		c.clash(args[0].Dim, lengthDim)
		c.list.Addf(e.Args[0].Span(), CodeDimension, "%s.%s is asked for at a place along the shaft, a length, not %s",
			e.X.Ident, e.Field, c.describe(e.Args[0], args[0])).Repair = "give it a unit of length, such as mm"
		return invalid
	}
	if len(args) == 2 && args[1].Dim != lengthDim && !args[1].Zero {
		c.clash(args[1].Dim, lengthDim)
		c.list.Addf(e.Args[1].Span(), CodeDimension, "the second argument of %s.%s is a radius, a length, not %s",
			e.X.Ident, e.Field, c.describe(e.Args[1], args[1])).Repair = "give it a unit of length, such as mm"
		return invalid
	}
	for _, a := range args {
		if a.Kind == Bracket {
			t.Kind = Bracket
		}
	}
	return t
}
