package class

import "strings"

// A Line is one line of a comparison of two texts.
type Line struct {
	Sign   byte // '-' only in the old text, '+' only in the new one, ' ' in both
	Old    int  // its number in the old text, from 1; 0 if it is not there
	New    int  // its number in the new text
	Text   string
	Parted bool // whether lines that are the same were left out before it

	// Pieces are the text cut into what stands in the line that takes its place, or that
	// it takes the place of, and what does not. They are empty where the line has no such
	// partner, or hardly a word in common with it.
	Pieces []LinePiece
}

// A LinePiece is a piece of a line.
type LinePiece struct {
	Text    string
	Changed bool
}

// mostCompared bounds the table of a comparison: lines times lines, of what is
// left between the first and the last difference. Beyond it all of that counts
// as replaced, which is true, if longer than it need be.
const mostCompared = 4 << 20

// Changes compares two texts by lines: a shortest list of lines taken out and put
// in, by the table of longest common subsequences (Cormen, Leiserson, Rivest and
// Stein, Introduction to Algorithms, section "Longest common subsequence", from
// memory), each with up to around lines before and after that are the same. It
// is empty if the texts have the same lines.
func Changes(before, after string, around int) []Line {
	a, b := lines(before), lines(after)
	head := 0
	for head < len(a) && head < len(b) && a[head] == b[head] {
		head++
	}
	tail := 0
	for tail < len(a)-head && tail < len(b)-head && a[len(a)-1-tail] == b[len(b)-1-tail] {
		tail++
	}
	all := make([]Line, 0, len(a)+len(b))
	for i := range head {
		all = append(all, Line{Sign: ' ', Old: i + 1, New: i + 1, Text: a[i]})
	}
	all = append(all, between(a[head:len(a)-tail], b[head:len(b)-tail], head)...)
	for i := len(a) - tail; i < len(a); i++ {
		all = append(all, Line{Sign: ' ', Old: i + 1, New: i + 1 + len(b) - len(a), Text: a[i]})
	}
	markWords(all)
	return near(all, around)
}

func lines(s string) []string {
	if s == "" {
		return nil
	}
	return strings.Split(strings.TrimSuffix(s, "\n"), "\n")
}

// between compares what is left of two texts after their first skipped lines.
func between(a, b []string, skipped int) []Line {
	var out []Line
	i, j := 0, 0
	take := func(sign byte) {
		l := Line{Sign: sign}
		if sign != '+' {
			l.Old, l.Text = skipped+i+1, a[i]
		}
		if sign != '-' {
			l.New, l.Text = skipped+j+1, b[j]
		}
		if sign != '+' {
			i++
		}
		if sign != '-' {
			j++
		}
		out = append(out, l)
	}
	if len(a)*len(b) <= mostCompared {
		for common := commonLengths(a, b); i < len(a) && j < len(b); {
			switch {
			case a[i] == b[j]:
				take(' ')
			case common[i+1][j] >= common[i][j+1]:
				take('-')
			default:
				take('+')
			}
		}
	}
	for i < len(a) {
		take('-')
	}
	for j < len(b) {
		take('+')
	}
	return out
}

// commonLengths returns at [i][j] how many lines a[i:] and b[j:] have in common,
// in the same order.
func commonLengths(a, b []string) [][]int32 {
	common := make([][]int32, len(a)+1)
	for i := range common {
		common[i] = make([]int32, len(b)+1)
	}
	for i := len(a) - 1; i >= 0; i-- {
		for j := len(b) - 1; j >= 0; j-- {
			if a[i] == b[j] {
				common[i][j] = common[i+1][j+1] + 1
			} else {
				common[i][j] = max(common[i+1][j], common[i][j+1])
			}
		}
	}
	return common
}

// near keeps the lines that differ and those around them.
func near(all []Line, around int) []Line {
	keep := make([]bool, len(all))
	for i, l := range all {
		if l.Sign == ' ' {
			continue
		}
		for k := max(0, i-around); k <= min(len(all)-1, i+around); k++ {
			keep[k] = true
		}
	}
	var out []Line
	for i, l := range all {
		if keep[i] {
			l.Parted = i > 0 && !keep[i-1]
			out = append(out, l)
		}
	}
	return out
}
