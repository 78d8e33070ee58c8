package page

import (
	"encoding/json"
	"slices"
	"strings"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/unit"
)

// Words is what an editor can complete; choices.js reads it.
type Words struct {
	Units []Word `json:"units"`
	Words []Word `json:"words"`
	Greek []Word `json:"greek"`
}

// A Word is something to type and what it means.
type Word struct {
	Text  string `json:"text"`
	Means string `json:"means"`
}

// compounds are the compound units of the trade.
var compounds = []Word{
	{"N·m", "torque"}, {"kN·m", "torque"}, {"N·mm", "torque"}, {"N·m/m", "torque spread along a length"},
	{"N·m/deg", "stiffness in twist"}, {"N·m/rad", "stiffness in twist"}, {"N·m²", "torsional rigidity"},
	{"mm²", "area"}, {"mm³", "section modulus"}, {"mm⁴", "second moment of area"}, {"cm⁴", "second moment of area"}, {"m⁴", "second moment of area"},
	{"N/mm²", "stress"}, {"kg/m³", "density"}, {"deg/m", "twist per length"}, {"rad/m", "twist per length"}, {"rad/s", "angular speed"},
	{"lbf·in", "torque"}, {"lbf·ft", "torque"}, {"in⁴", "second moment of area"},
}

// everyday are the prefixes that the list offers; the notation knows them all.
const everyday = "MGkmcμ"

// AllWords returns the words of the notation and its units, as JSON.
func AllWords() []byte {
	w := Words{Units: append([]Word{}, compounds...), Greek: greek()}
	for _, e := range unit.All() {
		w.Units = append(w.Units, Word{e.Symbols[0], e.Name})
		if e.Prefixes != unit.AnyPrefix {
			continue
		}
		for _, p := range unit.Prefixes {
			if !strings.Contains(everyday, p.Symbol) || p.Symbol == "c" && e.Symbols[0] != "m" {
				continue
			}
			w.Units = append(w.Units, Word{p.Symbol + e.Symbols[0], p.Name + e.Name})
		}
	}
	for _, b := range notation.Builtins {
		w.Words = append(w.Words, Word{b.Name, "function"})
	}
	for word, means := range map[string]string{
		"vary": "a value to slide", "expect": "can it be right?", "table": "rows of values", "plot": "a curve", "draw": "a shaft to scale",
		"sum of": "add up", "integral of": "the limit of such a sum", "product of": "multiply together", "derivative of": "rate of change",
		"root of": "where it is zero", "largest of": "greatest value", "smallest of": "least value", "between": "lower and upper value", "within": "tolerance",
		"prefer": "units of results", "starting at": "where a slider begins", "typed up to": "how far beyond a slider its value can be typed",
		"trials of": "what a slider was tried at", "table of": "the segments of a shaft", "table of tolerances of": "what each tolerance makes of a bracket",
	} {
		w.Words = append(w.Words, Word{word, means})
	}
	sortWords(w.Words)
	out, err := json.Marshal(w)
	if err != nil {
		panic(err) // plain strings
	}
	return out
}

func greek() []Word {
	var words []Word
	for name := range strings.FieldsSeq(`alpha beta gamma delta epsilon zeta eta theta iota kappa
		lambda mu nu xi pi rho sigma tau upsilon phi chi psi omega Gamma Delta Theta Lambda Xi Pi Sigma Phi Psi Omega`) {
		words = append(words, Word{notation.Canonical(name), name})
	}
	return words
}

// sortWords keeps the answer the same from run to run, and so its address.
func sortWords(words []Word) {
	slices.SortFunc(words, func(a, b Word) int { return strings.Compare(a.Text, b.Text) })
}
