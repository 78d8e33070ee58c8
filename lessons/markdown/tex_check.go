package markdown

import (
	"fmt"
	"strings"
	"unicode/utf8"
)

// A texFault says what in a formula cannot be typeset, and where.
type texFault struct {
	at, length      int // bytes of the TeX
	message, repair string
}

const (
	maxTeX      = 4000 // bytes of a formula
	maxTeXDepth = 24   // groups within one another
)

// texArguments are the commands that take arguments in braces, with how many.
var texArguments = map[string]int{"frac": 2, "dfrac": 2, "tfrac": 2, "sqrt": 1, "bar": 1, "hat": 1, "dot": 1, "ddot": 1,
	"tilde": 1, "vec": 1, "overline": 1, "overset": 2, "underset": 2, "underbrace": 1, "overbrace": 1}

// texPlain are the commands that stand for themselves. Only commands whose
// typeset form was looked at are on these lists.
var texPlain = wordSet(`alpha beta gamma delta epsilon varepsilon zeta eta theta vartheta iota kappa lambda mu nu xi pi
	rho sigma tau upsilon phi varphi chi psi omega Gamma Delta Theta Lambda Xi Pi Sigma Phi Psi Omega
	cdot times div pm mp le ge leq geq lt gt ne neq approx sim equiv propto ll gg to rightarrow Rightarrow leftarrow
	infty partial circ prime degree angle ldots cdots dots int sum prod lim
	sin cos tan arcsin arccos arctan exp ln log max min
	quad qquad lbrace rbrace langle rangle lfloor rfloor lceil rceil in`)

// texSigns are the commands of one sign: \, and the like.
const texSigns = `,;:! {}%$`

var texEnvironments = wordSet("aligned cases")

func wordSet(words string) map[string]bool {
	set := map[string]bool{}
	for _, w := range strings.Fields(words) {
		set[w] = true
	}
	return set
}

// checkTeX finds the first thing in a formula that would not be typeset as TeX
// means it.
func checkTeX(tex string) *texFault {
	if len(tex) > maxTeX {
		return &texFault{0, 1, fmt.Sprintf("this formula is longer than %d characters", maxTeX), "divide it"}
	}
	if strings.TrimSpace(tex) == "" {
		return &texFault{0, 1, "this formula is empty", "for a dollar sign write \\$"}
	}
	c := texChecker{tex: tex}
	c.sequence("")
	return c.fault
}

// texChecker reads a formula by recursive descent.
type texChecker struct {
	tex   string
	pos   int
	depth int
	table int // environments around
	fault *texFault
}

func (c *texChecker) fail(at, length int, repair, format string, args ...any) {
	if c.fault == nil {
		c.fault = &texFault{at, max(length, 1), fmt.Sprintf(format, args...), repair}
	}
	c.pos = len(c.tex)
}

func (c *texChecker) rest() string { return c.tex[c.pos:] }

func (c *texChecker) skipSpace() {
	c.pos += len(c.rest()) - len(strings.TrimLeft(c.rest(), " \t\r\n"))
}

// sequence reads atoms up to the closer, which it consumes: "}", "]",
// "\right", "\end", or "" for the end of the formula.
func (c *texChecker) sequence(closer string) {
	start := c.pos
	if c.depth++; c.depth > maxTeXDepth {
		c.fail(start, 1, "simplify it", "this formula is nested too deeply")
	}
	defer func() { c.depth-- }()
	for {
		c.skipSpace()
		switch {
		case c.fault != nil:
			return
		case c.pos == len(c.tex):
			if closer != "" {
				c.fail(max(start-1, 0), 1, "add "+closer, "this has no closing %s", closer)
			}
			return
		case closer != "" && strings.HasPrefix(c.rest(), closer):
			c.pos += len(closer)
			return
		}
		c.atom()
		c.scripts()
	}
}

// atom reads one thing that scripts can hang on.
func (c *texChecker) atom() {
	at := c.pos
	switch b := c.tex[c.pos]; b {
	case '{':
		c.pos++
		c.sequence("}")
	case '}':
		c.fail(at, 1, "remove it, or add { before it", "this } closes nothing")
	case '\\':
		c.command()
	case '^', '_':
		c.fail(at, 1, "put what it belongs to before it", "%c has nothing to stand on", b)
	case '%', '#', '$', '~':
		c.fail(at, 1, "write \\"+string(b), "%c cannot stand in a formula", b)
	case '&':
		if c.table == 0 {
			c.fail(at, 1, "write \\text{and}, or set the formula in \\begin{aligned} … \\end{aligned}", "& parts the columns of an environment, and there is none here")
			return
		}
		c.pos++
	default:
		_, size := utf8.DecodeRuneInString(c.rest())
		c.pos += size
	}
}

// scripts reads at most one subscript and one superscript.
func (c *texChecker) scripts() {
	var seen [2]bool
	for {
		c.skipSpace()
		if c.fault != nil || c.pos == len(c.tex) {
			return
		}
		at, which := c.pos, strings.IndexByte("^_", c.tex[c.pos])
		if which < 0 {
			return
		}
		if seen[which] {
			c.fail(at, 1, "put braces around the first one with its base", "a second %c on one base", c.tex[at])
			return
		}
		seen[which] = true
		c.pos++
		c.scriptArgument(at)
	}
}

func (c *texChecker) scriptArgument(at int) {
	c.skipSpace()
	rest := c.rest()
	switch {
	case rest == "" || strings.ContainsRune("}^_&", rune(rest[0])):
		c.fail(at, 1, "write what belongs there in braces", "nothing stands after %c", c.tex[at])
	case isDigit(rest[0]) && len(rest) > 1 && isDigit(rest[1]):
		digits := rest[:len(rest)-len(strings.TrimLeft(rest, "0123456789"))]
		c.fail(at, 1+len(digits), "write "+c.tex[at:at+1]+"{"+digits+"}", "only the first digit after %c is raised or lowered in TeX", c.tex[at])
	case rest[0] == '\\' && texArguments[commandName(rest)] > 0:
		c.fail(at, 1, "put braces around what follows", "a command with arguments after %c needs braces", c.tex[at])
	default:
		c.atom()
	}
}

func isDigit(b byte) bool { return b >= '0' && b <= '9' }

// commandName returns the letters after the backslash that s opens with.
func commandName(s string) string {
	end := 1
	for end < len(s) && (s[end] >= 'a' && s[end] <= 'z' || s[end] >= 'A' && s[end] <= 'Z') {
		end++
	}
	return s[1:end]
}

func (c *texChecker) command() {
	at := c.pos
	name := commandName(c.rest())
	if name == "" {
		c.sign()
		return
	}
	c.pos += 1 + len(name)
	count, takes := texArguments[name]
	switch {
	case texPlain[name]:
	case takes:
		c.arguments(at, name, count)
	case name == "text" || name == "mathrm":
		c.words(at, name)
	case name == "left":
		c.fenced(at)
	case name == "right":
		c.fail(at, len(name)+1, "add \\left before it", "\\right has no \\left")
	case name == "begin":
		c.environment(at)
	case name == "end":
		c.fail(at, len(name)+1, "remove it", "\\end closes nothing")
	default:
		c.fail(at, len(name)+1, "the commands that can be used are listed in the author's guide", "\\%s cannot be typeset", name)
	}
}

// sign reads a command of one sign.
func (c *texChecker) sign() {
	at := c.pos
	if c.pos+1 >= len(c.tex) {
		c.fail(at, 1, "remove it", "nothing stands after this backslash")
		return
	}
	next := c.tex[c.pos+1]
	if next == '\\' && c.table > 0 || strings.IndexByte(texSigns, next) >= 0 {
		c.pos += 2
		return
	}
	if next == '\\' {
		c.fail(at, 2, "set the lines in \\begin{aligned} … \\end{aligned}", "\\\\ ends a line of an environment, and there is none here")
		return
	}
	_, size := utf8.DecodeRuneInString(c.tex[c.pos+1:])
	c.fail(at, 1+size, "remove the backslash", "%s cannot be typeset", c.tex[at:at+1+size])
}

func (c *texChecker) arguments(at int, name string, count int) {
	if c.skipSpace(); name == "sqrt" && strings.HasPrefix(c.rest(), "[") {
		c.pos++
		c.sequence("]")
	}
	for range count {
		c.skipSpace()
		if c.fault != nil {
			return
		}
		if !strings.HasPrefix(c.rest(), "{") {
			c.fail(at, len(name)+1, "write \\"+name+strings.Repeat("{…}", count), "the arguments of \\%s must stand in braces", name)
			return
		}
		c.pos++
		c.sequence("}")
	}
}

// words reads the argument of \text and \mathrm, which is taken letter by
// letter.
func (c *texChecker) words(at int, name string) {
	c.skipSpace()
	content, ok := strings.CutPrefix(c.rest(), "{")
	end := strings.IndexByte(content, '}')
	if !ok || end < 0 {
		c.fail(at, len(name)+1, "write \\"+name+"{…}", "the words of \\%s must stand in braces", name)
		return
	}
	content = content[:end]
	inside := c.pos + 1
	bad := strings.IndexAny(content, `\{$^_&%#~`)
	if name == "mathrm" && bad < 0 {
		bad = strings.IndexFunc(content, func(r rune) bool {
			return r < '0' || r > '9' && r < 'A' || r > 'Z' && r < 'a' || r > 'z' && r < 0x80
		})
	}
	if bad >= 0 {
		_, size := utf8.DecodeRuneInString(content[bad:])
		c.fail(inside+bad, size, "end the braces before it: \\"+name+"{N}\\cdot\\"+name+"{m}", "%s cannot stand inside \\%s", content[bad:bad+size], name)
		return
	}
	if strings.TrimSpace(content) == "" {
		c.fail(at, len(name)+1, "write \\quad for a space", "\\%s is empty", name)
		return
	}
	c.pos = inside + end + 1
}

// fenced reads \left( … \right).
func (c *texChecker) fenced(at int) {
	c.delimiter(at, "left")
	if c.fault != nil {
		return
	}
	c.sequence(`\right`)
	c.delimiter(at, "right")
}

func (c *texChecker) delimiter(at int, name string) {
	if c.fault != nil {
		return
	}
	c.skipSpace()
	rest := c.rest()
	switch {
	case rest != "" && strings.IndexByte("()[]|.", rest[0]) >= 0:
		c.pos++
	case strings.HasPrefix(rest, `\{`) || strings.HasPrefix(rest, `\}`):
		c.pos += 2
	default:
		c.fail(at, 5, "write \\left( … \\right)", "no bracket stands after \\%s", name)
	}
}

// environment reads \begin{aligned} … \end{aligned}.
func (c *texChecker) environment(at int) {
	name, _, found := strings.Cut(strings.TrimPrefix(c.rest(), "{"), "}")
	if !found || !strings.HasPrefix(c.rest(), "{") || !texEnvironments[name] {
		c.fail(at, 6, "use aligned or cases", "this environment cannot be typeset")
		return
	}
	c.pos += len(name) + 2
	c.table++
	c.sequence(`\end{` + name + `}`)
	c.table--
}
