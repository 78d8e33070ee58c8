package reference

import (
	"strings"

	"go.yaml.in/yaml/v3"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

// A Group is some symbols under one heading.
type Group struct {
	Title   string
	Symbols []Symbol
}

// A Symbol is a letter, with an index or an argument where it has one, and what it
// stands for.
type Symbol struct {
	Written string        // as in a cell
	Expr    notation.Expr // the same, read
	Means   Text
	Units   []string // empty for a pure number
	See     []Place
}

// A Material has a shear modulus between two values, each with its unit.
type Material struct {
	Name     string
	From, To string
	Note     string // may be empty
}

// Range writes the shear modulus: "75 GPa to 80 GPa", or one value.
func (m *Material) Range() string {
	if m.From == m.To {
		return m.From
	}
	return m.From + " to " + m.To
}

func (r *Reference) readSymbols(y *reader, root *yaml.Node) {
	y.entry(root, "the symbols",
		field{"groups", true, func(v *yaml.Node) string {
			seen := map[string]bool{}
			y.each(v, "the groups of symbols", func(item *yaml.Node) { r.readGroup(y, item, seen) })
			return ""
		}},
		field{"materials", false, func(v *yaml.Node) string {
			y.each(v, "the list of materials", func(item *yaml.Node) { r.readMaterial(y, item) })
			return ""
		}},
		field{"sources", false, func(v *yaml.Node) string {
			r.Sources = y.sources(v, "the sources")
			return ""
		}})
	if len(r.Materials) > 0 && len(r.Sources) == 0 {
		y.list.Addf(y.yaml.Line(1), CodeKey, "the shear moduli of the materials have no source").Repair = "add sources: with a list of source: and what:"
	}
}

func (r *Reference) readGroup(y *reader, item *yaml.Node, seen map[string]bool) {
	var g Group
	if y.entry(item, "the groups of symbols", field{"title", true, words(&g.Title)}, field{"symbols", true, func(v *yaml.Node) string {
		y.each(v, "the symbols of a group", func(item *yaml.Node) {
			var s Symbol
			if !y.entry(item, "the symbols", field{"symbol", true, s.read}, field{"means", true, y.markdown(&s.Means)},
				field{"unit", false, s.readUnits}, field{"see", false, y.places(&s.See)}) {
				return
			}
			if seen[s.Written] {
				y.list.Addf(y.yaml.Span(item), CodeSequence, "“%s” is there twice", s.Written).Repair = "say both meanings in one entry"
			}
			seen[s.Written] = true
			g.Symbols = append(g.Symbols, s)
		})
		return ""
	}}) {
		r.Groups = append(r.Groups, g)
	}
}

// read reads a symbol as it stands in a cell.
func (s *Symbol) read(v *yaml.Node) string {
	if repair := words(&s.Written)(v); repair != "" {
		return repair
	}
	expr, list := notation.ParseExpr(source.NewText("", s.Written))
	if list.HasErrors() {
		return "write it as in a cell: T_in(x)"
	}
	s.Expr = expr
	return ""
}

func (s *Symbol) readUnits(v *yaml.Node) string {
	if repair := wordList(&s.Units)(v); repair != "" {
		return repair
	}
	for _, u := range s.Units {
		if _, err := unit.Parse(u); err != nil {
			return "write a unit as in a cell, or a list of them: [rad, deg]"
		}
	}
	return ""
}

func (r *Reference) readMaterial(y *reader, item *yaml.Node) {
	var m Material
	var low, high float64
	if !y.entry(item, "the list of materials", field{"name", true, words(&m.Name)}, field{"from", true, modulus(&m.From, &low)}, field{"to", true, modulus(&m.To, &high)},
		field{"note", false, words(&m.Note)}) {
		return
	}
	if low > high {
		y.list.Addf(y.yaml.Span(item), CodeValue, "this range ends below its beginning").Repair = "exchange from and to"
		return
	}
	r.Materials = append(r.Materials, m)
}

// modulus reads a value with a unit of stress.
func modulus(to *string, value *float64) func(*yaml.Node) string {
	return func(v *yaml.Node) string {
		const repair = "write a modulus with its unit: 79 GPa"
		if r := words(to)(v); r != "" {
			return repair
		}
		n, name, ok := strings.Cut(*to, " ")
		q, list := notation.ParseExpr(source.NewText("", n))
		number, isNumber := q.(*notation.Number)
		if !ok || list.HasErrors() || !isNumber {
			return repair
		}
		u, err := unit.Parse(name)
		if stress, _ := unit.Word("stress"); err != nil || u.Dim != stress {
			return repair
		}
		*value = float64(number.Value * u.Factor)
		return ""
	}
}
