package unit

import (
	"sort"
	"strings"
	"unicode"
	"unicode/utf8"
)

// everyday lists the symbols that a lesson on shafts is most likely to mean,
// which is where a near miss is looked for first.
var everyday = strings.Fields(`m mm cm km in ft N kN MN lbf kip Pa kPa MPa GPa psi ksi
	W kW MW hp J kJ MJ kg g t lb s ms min h rad mrad deg rev rpm Hz kHz % μm mi yd ozf oz slug`)

// candidates lists the everyday symbols, then the rest of the table.
func candidates() []string {
	list := append([]string(nil), everyday...)
	seen := map[string]bool{}
	for _, s := range list {
		seen[s] = true
	}
	for _, e := range table {
		for _, s := range e.Symbols {
			if !seen[s] {
				list = append(list, s)
			}
		}
	}
	return list
}

// Nearest returns up to n symbols that a misspelt one may mean, the
// likeliest first: gpa → GPa, KN → kN. A slip of case counts half as much as a
// wrong letter, and everyday units come before rare ones. It returns none for a
// unit, and none where nothing is near.
func Nearest(text string, n int) []string {
	if find(text) != nil || len(text) > maxText {
		return nil
	}
	type match struct {
		symbol string
		cost   int
	}
	var found []match
	length := utf8.RuneCountInString(text)
	for _, s := range candidates() {
		cost := Slips(foldSymbol.Replace(text), s)
		// One wrong letter in two, or two in four, is near; more is another word.
		if cost <= min(length, 4) && cost < 2*max(length, utf8.RuneCountInString(s)) {
			found = append(found, match{s, cost})
		}
	}
	sort.SliceStable(found, func(i, j int) bool { return found[i].cost < found[j].cost })
	symbols := make([]string, 0, n)
	for _, m := range found {
		// Once a symbol differs only in case, a wrong letter does not compete.
		if len(symbols) == n || m.cost >= found[0].cost+2 {
			break
		}
		symbols = append(symbols, m.symbol)
	}
	return symbols
}

// Slips returns twice the distance in letters put in, left out, changed or
// swapped with a neighbour (optimal string alignment); a difference in case
// alone counts as half a letter.
func Slips(a, b string) int {
	x, y := []rune(a), []rune(b)
	cost := make([][]int, len(x)+1)
	for i := range cost {
		cost[i] = make([]int, len(y)+1)
		cost[i][0] = 2 * i
	}
	for j := range y {
		cost[0][j+1] = 2 * (j + 1)
	}
	for i := 1; i <= len(x); i++ {
		for j := 1; j <= len(y); j++ {
			least := cost[i-1][j-1] + changed(x[i-1], y[j-1])
			least = min(least, cost[i-1][j]+2, cost[i][j-1]+2)
			if i > 1 && j > 1 && x[i-1] == y[j-2] && x[i-2] == y[j-1] {
				least = min(least, cost[i-2][j-2]+2)
			}
			cost[i][j] = least
		}
	}
	return cost[len(x)][len(y)]
}

func changed(a, b rune) int {
	switch {
	case a == b:
		return 0
	case unicode.ToLower(a) == unicode.ToLower(b):
		return 1
	}
	return 2
}
