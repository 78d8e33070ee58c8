package tex

import (
	"strings"
	"unicode/utf8"

	"shaftbook/kernel/typeset/box"
)

// commandName returns the letters after the backslash that s opens with.
func commandName(s string) string {
	end := 1
	for end < len(s) && (s[end] >= 'a' && s[end] <= 'z' || s[end] >= 'A' && s[end] <= 'Z') {
		end++
	}
	return s[1:end]
}

func (r *reader) command() box.Box {
	at := r.pos
	name := commandName(r.rest())
	if name == "" {
		return r.sign()
	}
	r.pos += 1 + len(name)
	if b, ok := known(name); ok {
		return b
	}
	if count, takes := arguments[name]; takes {
		return r.withArguments(at, name, count)
	}
	switch name {
	case "text", "mathrm":
		return r.words(at, name)
	case "left":
		return r.fenced(at)
	case "right":
		r.fail(at, len(name)+1, "add \\left before it", "\\right has no \\left")
	case "begin":
		return r.environment(at)
	case "end":
		r.fail(at, len(name)+1, "remove it", "\\end closes nothing")
	default:
		repair := "the commands that can be used are listed in the author's guide"
		if near := nearest(name); near != "" {
			repair = "write \\" + near + ", if that is meant; " + repair
		}
		r.fail(at, len(name)+1, repair, "\\%s cannot be typeset", name)
	}
	return nil
}

// sign reads a command of one sign.
func (r *reader) sign() box.Box {
	at := r.pos
	if r.pos+1 >= len(r.source) {
		r.fail(at, 1, "remove it", "there is nothing after this backslash")
		return nil
	}
	next := r.source[r.pos+1]
	if b, ok := signs[next]; ok {
		r.pos += 2
		return b
	}
	if next == '\\' {
		r.fail(at, 2, "set the lines in \\begin{aligned} … \\end{aligned}", "\\\\ ends a line of an environment, and there is none here")
		return nil
	}
	_, size := utf8.DecodeRuneInString(r.source[r.pos+1:])
	r.fail(at, 1+size, "remove the backslash", "%s cannot be typeset", r.source[at:at+1+size])
	return nil
}

func (r *reader) withArguments(at int, name string, count int) box.Box {
	var degree box.Box
	if r.skipSpace(); name == "sqrt" && strings.HasPrefix(r.rest(), "[") {
		r.pos++
		degree = box.Unwrap(r.sequence("]"))
	}
	var args []box.Box
	for range count {
		r.skipSpace()
		if r.fault != nil {
			return nil
		}
		if !strings.HasPrefix(r.rest(), "{") {
			r.fail(at, len(name)+1, "write \\"+name+strings.Repeat("{…}", count), "the arguments of \\%s must be in braces", name)
			return nil
		}
		r.pos++
		args = append(args, box.Unwrap(r.sequence("}")))
	}
	if r.fault != nil {
		return nil
	}
	switch name {
	case "frac":
		return box.Fraction{Num: args[0], Den: args[1]}
	case "dfrac":
		return box.Fraction{Num: args[0], Den: args[1], Size: box.Full}
	case "tfrac":
		return box.Fraction{Num: args[0], Den: args[1], Size: box.Small}
	case "sqrt":
		return box.Root{X: args[0], Degree: degree}
	case "overset":
		return box.Limits{Base: args[1], Over: args[0]}
	case "underset":
		return box.Limits{Base: args[1], Under: args[0]}
	}
	a := accents[name]
	a.X = args[0]
	return a
}

// words reads the argument of \text and \mathrm, which is taken letter by
// letter.
func (r *reader) words(at int, name string) box.Box {
	r.skipSpace()
	content, ok := strings.CutPrefix(r.rest(), "{")
	end := strings.IndexByte(content, '}')
	if !ok || end < 0 {
		r.fail(at, len(name)+1, "write \\"+name+"{…}", "the words of \\%s must be in braces", name)
		return nil
	}
	content = content[:end]
	inside := r.pos + 1
	bad := strings.IndexAny(content, "\\{$^_&%#~")
	if name == "mathrm" && bad < 0 {
		bad = strings.IndexFunc(content, func(r rune) bool {
			return r < '0' || r > '9' && r < 'A' || r > 'Z' && r < 'a' || r > 'z' && r < 0x80
		})
	}
	if bad < 0 {
		bad = strings.IndexFunc(content, func(r rune) bool { return r < ' ' && r != '\n' && r != '\t' || r == utf8.RuneError })
	}
	if bad >= 0 {
		_, size := utf8.DecodeRuneInString(content[bad:])
		r.fail(inside+bad, size, "end the braces before it: \\"+name+"{N}\\cdot\\"+name+"{m}", "%s is not allowed inside \\%s", content[bad:bad+size], name)
		return nil
	}
	if strings.TrimSpace(content) == "" {
		r.fail(at, len(name)+1, "write \\quad for a space", "\\%s is empty", name)
		return nil
	}
	r.pos = inside + end + 1
	if name == "mathrm" {
		return box.Ident{Name: content, Upright: true}
	}
	return box.Text(strings.NewReplacer("\n", " ", "\t", " ").Replace(content))
}

// fenced reads \left( … \right).
func (r *reader) fenced(at int) box.Box {
	f := box.Fence{Growth: box.Always}
	f.Open = r.delimiter(at, "left")
	if r.fault != nil {
		return nil
	}
	f.X = box.Unwrap(r.sequence(`\right`))
	f.Close = r.delimiter(at, "right")
	return f
}

// delimiter reads the bracket after \left or \right; a full stop is none.
func (r *reader) delimiter(at int, name string) string {
	if r.fault != nil {
		return ""
	}
	r.skipSpace()
	rest := r.rest()
	if rest != "" && strings.IndexByte("()[]|.", rest[0]) >= 0 {
		r.pos++
		return strings.TrimSuffix(rest[:1], ".")
	}
	if strings.HasPrefix(rest, `\{`) || strings.HasPrefix(rest, `\}`) {
		r.pos += 2
		return rest[1:2]
	}
	if strings.HasPrefix(rest, `\`) {
		command := commandName(rest)
		if op, ok := symbols[command].(box.Op); ok && (op.Form == box.Opening || op.Form == box.Closing) {
			r.pos += 1 + len(command)
			return op.Sign
		}
	}
	r.fail(at, 5, "write \\left( … \\right)", "there is no bracket after \\%s", name)
	return ""
}
