package unit

import (
	"strings"
	"sync"
)

// A symbol is one symbol of a unit, perhaps with a prefix, resolved.
type symbol struct {
	text  string // as shown
	entry *Entry
	exact exact
	unit  Unit
}

// known remembers the symbols that were asked for. Only symbols that exist are
// kept, so it stays below the table times the prefixes.
var known sync.Map // string → *symbol

var bySymbol = sync.OnceValue(func() map[string]*Entry {
	m := make(map[string]*Entry, 2*len(table))
	for i := range table {
		for _, s := range table[i].Symbols {
			m[s] = &table[i]
		}
	}
	return m
})

// lookAlikes are the other code points of μ and Ω.
const lookAlikes = "\u00b5\u2126"

// foldSymbol maps the look-alike code points of μ and Ω to one.
var foldSymbol = strings.NewReplacer("\u00b5", "μ", "\u2126", "Ω")

// Lookup returns the unit of one symbol, perhaps with a prefix: "N", "GPa",
// "deg", "%". ok is false for anything else; Refuse may then return the reason.
func Lookup(text string) (u Unit, ok bool) {
	s := find(text)
	if s == nil {
		return Unit{}, false
	}
	return s.unit, true
}

// PrefixedName returns the name of a symbol with a prefix: teralitre for TL. ok is
// false for a symbol of the table and for what is no unit.
func PrefixedName(text string) (name string, ok bool) {
	s := find(text)
	if s == nil || bySymbol()[s.text] != nil {
		return "", false
	}
	for _, p := range Prefixes {
		rest, found := strings.CutPrefix(s.text, p.Symbol)
		if found && bySymbol()[rest] == s.entry {
			return p.Name + s.entry.Name, true
		}
	}
	return "", false
}

// find returns the symbol, or nil.
func find(text string) *symbol {
	if s, ok := known.Load(text); ok {
		return s.(*symbol)
	}
	folded := text
	if strings.ContainsAny(text, lookAlikes) {
		folded = foldSymbol.Replace(text)
	}
	s := resolve(folded)
	if s != nil {
		known.Store(text, s)
	}
	return s
}

func resolve(text string) *symbol {
	if e, ok := bySymbol()[text]; ok {
		return newSymbol(text, e, readExact(e.Exact))
	}
	if _, isRefused := refused[text]; isRefused {
		return nil // PS is the metric horsepower and not the petasiemens
	}
	// "da" comes before "d" in the list; where both could be read (dam, dag),
	// only one leaves a symbol of the table.
	for _, p := range Prefixes {
		rest, found := strings.CutPrefix(text, p.Symbol)
		if !found {
			continue
		}
		if e, ok := bySymbol()[rest]; ok && e.takes(p) {
			return newSymbol(text, e, readExact(e.Exact).times(powerOfTen(p.Exponent), 1))
		}
	}
	return nil
}

func newSymbol(text string, e *Entry, x exact) *symbol {
	return &symbol{text: text, entry: e, exact: x, unit: Unit{Text: text, Factor: x.float(), Dim: e.Dim}}
}
