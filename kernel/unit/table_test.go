package unit

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
)

// TestTable walks testdata/units.csv: dimension, nearest float64 worked out
// apart from this package, and the published figure to the digits printed. Every
// symbol of the table must have its row.
func TestTable(t *testing.T) {
	missing := map[string]bool{}
	for _, e := range All() {
		for _, s := range e.Symbols {
			missing[s] = true
		}
		if e.Name == "" || e.Source == "" {
			t.Errorf("%s has no name or no source", e.Symbols[0])
		}
	}
	for _, row := range readTable(t) {
		symbol, base, nearest, printed := row[0], row[1], row[2], row[3]
		delete(missing, symbol)
		u, err := Parse(symbol)
		if err != nil {
			t.Errorf("%s: %v", symbol, err)
			continue
		}
		if got := u.Dim.String(); got != base {
			t.Errorf("%s: dimension %s, want %s", symbol, got, base)
		}
		if want, _ := strconv.ParseFloat(nearest, 64); u.Factor != want {
			t.Errorf("%s: factor %v, want %v, difference %g", symbol, u.Factor, want, u.Factor-want)
		}
		published, _ := strconv.ParseFloat(printed, 64)
		if diff := math.Abs(u.Factor - published); diff > 5.1e-7*published {
			t.Errorf("%s: factor %v, published %s (%s), difference %g", symbol, u.Factor, printed, row[4], diff)
		}
	}
	for s := range missing {
		t.Errorf("units.csv has no row for %s", s)
	}
}

func readTable(t *testing.T) [][]string {
	t.Helper()
	file, err := os.Open("testdata/units.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	r := csv.NewReader(file)
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows
}

// TestConstantsElsewhere compares with the double precision values that SciPy
// 1.10.1 prints (scipy.constants lbf, psi, hp, degree, pound); they may be one
// unit in the last place from the nearest, since SciPy multiplies floats.
func TestConstantsElsewhere(t *testing.T) {
	for symbol, want := range map[string]float64{
		"lbf": 4.4482216152605, "psi": 6894.757293168361, "hp": 745.6998715822701,
		"deg": 0.017453292519943295, "lb": 0.45359236999999997,
	} {
		u, _ := Lookup(symbol)
		if diff := math.Abs(u.Factor - want); diff > 2.3e-16*want {
			t.Errorf("%s = %v, SciPy %v, difference %g", symbol, u.Factor, want, diff)
		}
	}
}

// TestPrefixes tries every prefix on every unit. The exponents are those of the
// SI Brochure, 9th ed., table 7 (from memory).
func TestPrefixes(t *testing.T) {
	exponents := map[string]int{"Q": 30, "R": 27, "Y": 24, "Z": 21, "E": 18, "P": 15, "T": 12, "G": 9, "M": 6,
		"k": 3, "h": 2, "da": 1, "d": -1, "c": -2, "m": -3, "μ": -6, "n": -9, "p": -12, "f": -15, "a": -18,
		"z": -21, "y": -24, "r": -27, "q": -30}
	if len(Prefixes) != len(exponents) {
		t.Fatalf("%d prefixes, want %d", len(Prefixes), len(exponents))
	}
	own := bySymbol()
	for i := range table {
		e := &table[i]
		for _, p := range Prefixes {
			for _, s := range e.Symbols {
				u, ok := Lookup(p.Symbol + s)
				_, isRefused := refused[p.Symbol+s]
				if _, clash := own[p.Symbol+s]; clash || isRefused {
					continue
				}
				if ok != e.takes(p) && readableOtherwise(p.Symbol+s, p) == "" {
					t.Errorf("%s%s: known %v", p.Symbol, s, ok)
				}
				if !ok || e.Exact != "1" || !e.takes(p) {
					continue
				}
				want, _ := strconv.ParseFloat("1e"+strconv.Itoa(exponents[p.Symbol]), 64)
				if u.Factor != want || u.Dim != e.Dim {
					t.Errorf("%s%s = %v %v, want %v", p.Symbol, s, u.Factor, u.Dim, want)
				}
			}
		}
	}
}

// readableOtherwise finds another prefix with which a symbol can be read.
func readableOtherwise(text string, not Prefix) string {
	for _, p := range Prefixes {
		rest, found := strings.CutPrefix(text, p.Symbol)
		if !found || p == not {
			continue
		}
		if e, ok := bySymbol()[rest]; ok && e.takes(p) {
			return p.Symbol
		}
	}
	return ""
}

// TestNoTwoReadings makes sure that no symbol with a prefix can be read in two
// ways, apart from the conflicts that the package comment settles.
func TestNoTwoReadings(t *testing.T) {
	settled := map[string]string{"min": "minute", "cd": "candela", "ft": "foot", "Pa": "pascal", "h": "hour",
		"d": "day", "T": "tesla", "mol": "mole", "kip": "kip", "in": "inch", "ha": "hectare", "Gy": "gray",
		"kat": "katal", "au": "astronomical unit", "m": "metre", "t": "tonne"}
	for symbol, name := range settled {
		e, ok := bySymbol()[symbol]
		if u, found := Lookup(symbol); !ok || !found || e.Name != name || u.Dim != e.Dim {
			t.Errorf("%s is not the %s", symbol, name)
		}
	}
	readings := map[string]string{}
	for i := range table {
		for _, p := range Prefixes {
			if !table[i].takes(p) {
				continue
			}
			for _, s := range table[i].Symbols {
				text := p.Symbol + s
				if _, own := bySymbol()[text]; own {
					if settled[text] == "" {
						t.Errorf("%s is a unit and also %s%s", text, p.Name, table[i].Name)
					}
					continue
				}
				if other, twice := readings[text]; twice {
					t.Errorf("%s is %s and %s%s", text, other, p.Name, table[i].Name)
				}
				readings[text] = p.Name + table[i].Name
			}
		}
	}
}

func TestBounds(t *testing.T) {
	for _, c := range []struct {
		text  string
		exact bool
	}{{"GPa", true}, {"m", true}, {"", true}, {"rpm", false}, {"mm", false}, {"deg", false}, {"lbf·in", false}, {"m^(1/2)", true}} {
		u, err := Parse(c.text)
		if err != nil {
			t.Fatal(err)
		}
		lo, hi := Bounds(u)
		if !(lo <= u.Factor && u.Factor <= hi) || (lo == hi) != c.exact || hi-lo > 2.3e-16*hi {
			t.Errorf("bounds of %s: %v to %v around %v", c.text, lo, hi, u.Factor)
		}
	}
	// 1 mm is 1/1000 m, and the float64 0.001 lies above it.
	mm, _ := Lookup("mm")
	if lo, hi := Bounds(mm); lo >= 0.001 || hi != 0.001 {
		t.Errorf("bounds of mm: %v to %v", lo, hi)
	}
	root, _ := Parse("mm^(1/2)")
	if lo, hi := Bounds(root); !(lo < math.Sqrt(0.001) && math.Sqrt(0.001) < hi) {
		t.Errorf("bounds of mm^(1/2): %v to %v", lo, hi)
	}
}
