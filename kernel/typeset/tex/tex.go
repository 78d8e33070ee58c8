package tex

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"shaftbook/kernel/typeset/box"
)

// A Fault is the first thing in a formula that cannot be typeset.
type Fault struct {
	Start, End int // bytes of the TeX, Start < End
	Message    string
	Repair     string
}

func (f *Fault) Error() string { return f.Message + ": " + f.Repair }

const (
	maxLength = 4000 // bytes of a formula
	maxDepth  = 24   // groups within one another
)

// Read returns a formula as boxes. The source is TeX of mathematics mode
// without delimiters. The error is a *Fault.
func Read(source string) (box.Box, error) {
	if len(source) > maxLength {
		return nil, &Fault{0, 1, fmt.Sprintf("this formula is longer than %d characters", maxLength), "divide it"}
	}
	if strings.TrimSpace(source) == "" {
		return nil, &Fault{0, 1, "this formula is empty", "for a dollar sign write \\$"}
	}
	r := reader{source: source}
	list := r.sequence("")
	if r.fault != nil {
		return nil, r.fault
	}
	return box.Unwrap(list), nil
}

// A reader reads a formula by recursive descent. After a fault it is at the end
// of the source, so that every loop ends.
type reader struct {
	source string
	pos    int
	depth  int
	table  *tableReader // the environment around, or nil
	fault  *Fault
}

func (r *reader) fail(at, length int, repair, format string, args ...any) {
	if r.fault == nil {
		end := min(at+max(length, 1), max(len(r.source), 1))
		r.fault = &Fault{min(at, end-1), end, fmt.Sprintf(format, args...), repair}
	}
	r.pos = len(r.source)
}

func (r *reader) rest() string { return r.source[r.pos:] }

func (r *reader) skipSpace() {
	r.pos += len(r.rest()) - len(strings.TrimLeft(r.rest(), " \t\r\n"))
}

// sequence reads atoms up to the closer, which it consumes: "}", "]",
// "\right", "\end", or "" for the end of the formula.
func (r *reader) sequence(closer string) box.Row {
	start := r.pos
	if r.depth++; r.depth > maxDepth {
		r.fail(start, 1, "simplify it", "this formula is nested too deeply")
	}
	defer func() { r.depth-- }()
	outer := r.table
	if closer == "}" || closer == "]" || closer == `\right` {
		r.table = nil // a group lies within one cell
	}
	defer func() { r.table = outer }()
	var list row
	for {
		r.skipSpace()
		switch {
		case r.fault != nil:
			return nil
		case r.pos == len(r.source):
			if closer != "" {
				r.fail(max(start-1, 0), 1, "add "+closer, "this has no closing %s", closer)
			}
			return list.finished()
		case closer != "" && strings.HasPrefix(r.rest(), closer):
			r.pos += len(closer)
			return list.finished()
		case r.atCellEnd(&list):
			continue
		}
		b := r.atom()
		if r.fault != nil {
			return nil
		}
		list.add(r.scripts(list.closed(b)))
	}
}

// atom reads one thing that scripts can belong to.
func (r *reader) atom() box.Box {
	at := r.pos
	switch b := r.source[r.pos]; {
	case b == '{':
		r.pos++
		return grouped(r.sequence("}"))
	case b == '}':
		r.fail(at, 1, "remove it, or add { before it", "this } closes nothing")
		return nil
	case b == '\\':
		return r.command()
	case b == '^' || b == '_':
		r.fail(at, 1, "put what it belongs to before it", "%c has no base", b)
		return nil
	case strings.IndexByte("%#$~", b) >= 0:
		r.fail(at, 1, "write \\"+string(b), "%c is not allowed in a formula", b)
		return nil
	case b == '&':
		r.fail(at, 1, "write \\text{and}, or set the formula in \\begin{aligned} … \\end{aligned}", "& separates the columns of an environment, and there is none here")
		return nil
	case b == '\'':
		return box.Row(nil) // the primes are read with the scripts of what they follow
	case isDigit(b):
		return r.number()
	}
	c, size := utf8.DecodeRuneInString(r.rest())
	if c == utf8.RuneError || unicode.IsControl(c) {
		r.fail(at, size, "remove it", "this character cannot be typeset")
		return nil
	}
	r.pos += size
	return character(c)
}

// grouped returns the content of braces: a sign alone in braces has no room around it.
func grouped(list box.Row) box.Box {
	if op, ok := box.Unwrap(list).(box.Op); ok && op.Form != box.Large {
		return box.Op{Sign: op.Sign, Form: box.Tight}
	}
	return box.Unwrap(list)
}

// number reads digits with at most one decimal point, which digits follow.
func (r *reader) number() box.Box {
	rest := r.rest()
	end := len(rest) - len(strings.TrimLeft(rest, "0123456789"))
	if end+1 < len(rest) && rest[end] == '.' && isDigit(rest[end+1]) {
		end = len(rest) - len(strings.TrimLeft(rest[end+1:], "0123456789"))
	}
	r.pos += end
	return box.Digits(rest[:end])
}

func isDigit(b byte) bool { return b >= '0' && b <= '9' }

// character is a letter or a sign that is written as itself.
func character(c rune) box.Box {
	switch c {
	case '+', '×', '÷', '±', '⋅', '·':
		return infix(string(c))
	case '-', '−':
		return infix("−")
	case '*':
		return infix("∗")
	case '=', '<', '>', '≤', '≥', '≠', '≈', ':', '→':
		return relation(string(c))
	case ',', ';':
		return box.Op{Sign: string(c), Form: box.Comma}
	case '(', '[', '⌊', '⌈', '⟨':
		return opening(string(c))
	case ')', ']', '⌋', '⌉', '⟩':
		return closing(string(c))
	case '°':
		return box.Unit("°")
	case 'π', '∞', '…':
		return upright(string(c))
	case '∑', '∏', '∫':
		return box.Op{Sign: string(c), Form: box.Large}
	}
	if c >= 'Α' && c <= 'Ω' {
		return upright(string(c))
	}
	if unicode.IsLetter(c) {
		return box.Ident{Name: string(c)}
	}
	return box.Op{Sign: string(c), Form: box.Tight}
}

// scripts reads primes and at most one subscript and one superscript.
func (r *reader) scripts(base box.Box) box.Box {
	var sub, sup box.Box
	var seen [2]bool
	for {
		r.skipSpace()
		if r.fault != nil {
			return nil
		}
		if strings.HasPrefix(r.rest(), "'") && !seen[0] {
			sup = r.primes()
			continue
		}
		which := -1
		if r.pos < len(r.source) {
			which = strings.IndexByte("^_", r.source[r.pos])
		}
		if which < 0 {
			return withScripts(base, sub, sup)
		}
		at := r.pos
		if seen[which] {
			r.fail(at, 1, "put braces around the first one with its base", "a second %c on one base", r.source[at])
			return nil
		}
		seen[which] = true
		r.pos++
		b := r.scriptArgument(at)
		switch {
		case which == 1:
			sub = b
		case sup != nil: // a power after a prime
			sup = box.Row{sup, b}
		default:
			sup = b
		}
	}
}

func (r *reader) primes() box.Box {
	n := len(r.rest()) - len(strings.TrimLeft(r.rest(), "'"))
	r.pos += n
	var list box.Row
	for range n {
		list = append(list, symbols["prime"])
	}
	return box.Unwrap(list)
}

// withScripts hangs scripts on a base: above and below a sum, a limit and a
// brace, beside everything else.
func withScripts(base, sub, sup box.Box) box.Box {
	if sub == nil && sup == nil {
		return base
	}
	switch b := base.(type) {
	case box.Op:
		if b.Form == box.Large && b.Sign != "∫" {
			return box.Limits{Base: base, Under: sub, Over: sup}
		}
	case box.Ident:
		if underneath[b.Name] && b.Upright && sup == nil {
			return box.Limits{Base: base, Under: sub}
		}
	case box.Accent:
		if b.Sign == "⏟" || b.Sign == "⏞" {
			return box.Limits{Base: base, Under: sub, Over: sup}
		}
	}
	return box.Script{Base: base, Sub: sub, Sup: sup}
}

func (r *reader) scriptArgument(at int) box.Box {
	r.skipSpace()
	rest := r.rest()
	switch {
	case rest == "" || strings.IndexByte("}^_&'", rest[0]) >= 0:
		r.fail(at, 1, "write what belongs there in braces", "there is nothing after %c", r.source[at])
		return nil
	case isDigit(rest[0]) && len(rest) > 1 && isDigit(rest[1]):
		digits := rest[:len(rest)-len(strings.TrimLeft(rest, "0123456789"))]
		r.fail(at, 1+len(digits), "write "+r.source[at:at+1]+"{"+digits+"}", "only the first digit after %c is raised or lowered in TeX", r.source[at])
		return nil
	case isDigit(rest[0]):
		r.pos++
		return box.Digits(rest[:1])
	case rest[0] == '\\' && arguments[commandName(rest)] > 0:
		r.fail(at, 1, "put braces around what follows", "a command with arguments after %c needs braces", r.source[at])
		return nil
	}
	b := r.atom()
	if r.fault != nil {
		return nil
	}
	if op, ok := b.(box.Op); ok && op.Form != box.Large {
		return box.Op{Sign: op.Sign, Form: box.Tight}
	}
	return b
}
