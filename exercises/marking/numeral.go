package marking

import (
	"regexp"
	"strings"
	"unicode"
	"unicode/utf8"

	"shaftbook/kernel/pattern"
)

// A commaMark is what a comma within a number means.
type commaMark int

const (
	noComma      commaMark = iota // there is none
	decimalComma                  // 0,3 is 0.3
	groupComma                    // 1,000 is 1000
)

// A numeral is a number as people write it: 0,3 or 1 234.5.
type numeral struct {
	text string
	at   int          // its place in the text, in bytes
	ways []numeralWay // how it can be read; none if it is not a number
}

// A numeralWay is a number in the notation.
type numeralWay struct {
	text  string
	comma commaMark
	why   string // empty if the number was written so
}

// in returns the way to read a number where a comma has a meaning.
func (n numeral) in(mark commaMark) numeralWay {
	for _, w := range n.ways {
		if w.comma == mark {
			return w
		}
	}
	return n.ways[0]
}

// groupMarks part thousands: a blank, an apostrophe, an underscore.
const groupMarks = " '’_"

const (
	whyDecimal = "the comma is a decimal mark"
	whyGroups  = "the comma separates thousands"
	whyPoints  = "the points separate thousands"
	whyBlanks  = "written without marks between its digits"
	whyZero    = "with a digit before the decimal mark"
)

// numeralsOf returns the numbers of a text in which a mark can be a decimal
// mark. Between the brackets of a function a comma separates arguments.
func numeralsOf(text string) []numeral { return numerals(text, len(text)) }

// numerals returns the first numbers of a text, at most so many.
func numerals(text string, most int) []numeral {
	var list []numeral
	var calls []bool // by bracket that is open: whether it is that of a function
	for i := 0; i < len(text) && len(list) < most; {
		r, size := utf8.DecodeRuneInString(text[i:])
		inCall := len(calls) > 0 && calls[len(calls)-1]
		switch {
		case r == '(':
			before, _ := utf8.DecodeLastRuneInString(text[:i])
			calls = append(calls, inCall || unicode.IsLetter(before) || unicode.IsDigit(before) && nameBefore(text[:i]))
		case r == ')' && len(calls) > 0:
			calls = calls[:len(calls)-1]
		case unicode.IsLetter(r):
			i = nameEnd(text, i)
			continue
		case isDigit(text[i]) || (r == '.' || r == ',' && !inCall) && i+1 < len(text) && isDigit(text[i+1]):
			end := numeralEnd(text, i, inCall)
			n := numeral{text: text[i:end], at: i}
			n.ways = waysOf(n.text)
			if behind := text[end:]; len(n.ways) > 1 && (exponentEnd(text, end) > end || powerAt().MatchString(behind)) {
				n.ways = n.ways[:1] // 5,738·10² has a decimal mark
			}
			list = append(list, n)
			i = exponentEnd(text, end)
			continue
		}
		i += size
	}
	return list
}

func isDigit(c byte) bool { return '0' <= c && c <= '9' }

// nameEnd returns the end of the name at i, with its subscript.
func nameEnd(text string, i int) int {
	for i < len(text) {
		r, size := utf8.DecodeRuneInString(text[i:])
		if !unicode.IsLetter(r) && !unicode.IsDigit(r) && r != '_' {
			break
		}
		i += size
	}
	return i
}

// nameBefore reports whether a text ends with a name, such as log10.
func nameBefore(text string) bool {
	word := strings.TrimRightFunc(text, unicode.IsDigit)
	r, _ := utf8.DecodeLastRuneInString(word)
	return unicode.IsLetter(r) || r == '_'
}

// exponentEnd returns the end of an exponent e-5 at i, or i.
func exponentEnd(text string, i int) int {
	if i >= len(text) || text[i] != 'e' && text[i] != 'E' {
		return i
	}
	end := i + 1
	for _, sign := range []string{"-", "+", "−", "–", "—"} {
		if strings.HasPrefix(text[end:], sign) {
			end += len(sign)
			break
		}
	}
	digits := end
	for end < len(text) && isDigit(text[end]) {
		end++
	}
	if end == digits {
		return i
	}
	return end
}

// numeralEnd returns the end of the number at i: digits, with points and commas
// that have a digit behind them, and with group marks before three digits.
func numeralEnd(text string, i int, inCall bool) int {
	end := i
	for end < len(text) {
		c := text[end]
		switch {
		case isDigit(c):
			end++
			continue
		case c == '.' || c == ',' && !inCall:
			if end+1 < len(text) && isDigit(text[end+1]) {
				end++
				continue
			}
			if c == '.' && (end+1 == len(text) || text[end+1] == ' ') {
				return end + 1 // 5. deg
			}
		default:
			if next := groupEnd(text, end); next > 0 && !strings.ContainsAny(text[i:end], ".,") && !inCall {
				end = next
				continue
			}
		}
		return end
	}
	return end
}

// groupEnd returns the end of a group mark and the three digits behind it, or 0.
func groupEnd(text string, i int) int {
	r, size := utf8.DecodeRuneInString(text[i:])
	end := i + size
	if !strings.ContainsRune(groupMarks, r) || end+3 > len(text) {
		return 0
	}
	for k := end; k < end+3; k++ {
		if !isDigit(text[k]) {
			return 0
		}
	}
	if end+3 < len(text) && isDigit(text[end+3]) {
		return 0
	}
	return end + 3
}

var (
	inGroups   = map[string]func() *regexp.Regexp{",": pattern.New(`^[1-9]\d{0,2}(,\d{3})+$`), ".": pattern.New(`^[1-9]\d{0,2}(\.\d{3})+$`)}
	blankGroup = pattern.New(`^[1-9]\d{0,2}([ '’_]\d{3})+$`)
)

// waysOf returns how a number can be read.
func waysOf(text string) []numeralWay {
	whole, end := text, ""
	if i := strings.IndexAny(text, ".,"); i >= 0 {
		whole, end = text[:i], text[i:]
	}
	blanks := strings.ContainsAny(whole, groupMarks)
	if blanks && !blankGroup().MatchString(whole) {
		return nil
	}
	why := ""
	if blanks {
		why = whyBlanks
		for _, mark := range groupMarks {
			whole = strings.ReplaceAll(whole, string(mark), "")
		}
	}
	plain := whole + end
	commas, points := strings.Count(plain, ","), strings.Count(plain, ".")
	last := plain[strings.LastIndexAny(plain, ".,")+1:]
	switch {
	case commas == 0 && points == 0:
		return []numeralWay{{plain, noComma, why}}
	case commas == 0 && points == 1:
		return pointNumber(plain, why)
	case commas == 0:
		return groups(plain, ".", noComma, whyPoints)
	case points == 0 && commas == 1:
		return commaNumber(whole, last, blanks)
	case points == 0:
		return groups(plain, ",", groupComma, whyGroups)
	}
	before := plain[:len(plain)-len(last)-1]
	if strings.HasSuffix(plain, ","+last) && commas == 1 { // 1.000,5
		return fraction(groups(before, ".", decimalComma, whyPoints+" and "+whyDecimal), last)
	}
	if strings.HasSuffix(plain, "."+last) && points == 1 { // 1,000.5
		return fraction(groups(before, ",", groupComma, whyGroups), last)
	}
	return nil
}

func pointNumber(plain, why string) []numeralWay {
	if strings.HasPrefix(plain, ".") {
		return []numeralWay{{"0" + plain, noComma, whyZero}}
	}
	if strings.HasSuffix(plain, ".") {
		return []numeralWay{{strings.TrimSuffix(plain, "."), noComma, "without the point behind it"}}
	}
	return []numeralWay{{plain, noComma, why}}
}

// commaNumber reads a number with one comma and no point: 0,3 or 1,000.
func commaNumber(whole, last string, blanks bool) []numeralWay {
	if whole == "" {
		whole = "0"
	}
	ways := []numeralWay{{whole + "." + last, decimalComma, whyDecimal}}
	if !blanks {
		ways = append(ways, groups(whole+","+last, ",", groupComma, whyGroups)...)
	}
	return ways
}

// groups reads a whole number in groups of three digits.
func groups(plain, mark string, comma commaMark, why string) []numeralWay {
	if !inGroups[mark]().MatchString(plain) {
		return nil
	}
	return []numeralWay{{strings.ReplaceAll(plain, mark, ""), comma, why}}
}

func fraction(ways []numeralWay, last string) []numeralWay {
	for i := range ways {
		ways[i].text += "." + last
	}
	return ways
}

// respell writes the numbers of a text in the notation.
func respell(text string, mark commaMark) spelling {
	var b strings.Builder
	var s spelling
	at := 0
	for _, n := range numeralsOf(text) {
		way := n.in(mark)
		b.WriteString(text[at:n.at] + way.text)
		at = n.at + len(n.text)
		if way.text != n.text {
			s.because(way.why)
		}
	}
	b.WriteString(text[at:])
	s.text = b.String()
	return s
}

// because adds a reason that is not there yet.
func (s *spelling) because(why string) {
	for _, w := range s.why {
		if w == why {
			return
		}
	}
	if why != "" {
		s.why = append(s.why, why)
	}
}
