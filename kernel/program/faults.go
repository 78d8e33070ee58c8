package program

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"shaftbook/kernel/elementary"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/num"
	"shaftbook/kernel/source"
	"shaftbook/kernel/words"
)

// fail records the first thing that failed and returns false. The message is
// about the expression itself; the place is the use in the text that the
// reader sees, with the body of a function as a related place.
func (w *walker) fail(e notation.Expr, code source.Code, format string, args ...any) bool {
	w.failAt(e.Span(), code, "", format, args...)
	return false
}

func (w *walker) failAt(at source.Span, code source.Code, repair, format string, args ...any) {
	if w.problem != nil {
		return
	}
	d := source.Diagnostic{Span: at, Code: code, Repair: repair}
	d.Message = fmt.Sprintf(format, args...) + w.when()
	placeAtUse(&d, w.calls)
	w.problem = &d
}

// failAs records a diagnostic made elsewhere.
func (w *walker) failAs(d source.Diagnostic) {
	if w.problem != nil {
		return
	}
	placeAtUse(&d, w.calls)
	w.problem = &d
}

// failLimit gives a limit a place.
func (w *walker) failLimit(e notation.Expr, err error) bool {
	var l *limitError
	if !errors.As(err, &l) {
		panic(err) // only limits and recorded failures come here
	}
	w.limit = err
	w.failAs(source.Diagnostic{Span: e.Span(), Code: l.code, Message: l.message, Repair: l.repair})
	return false
}

// failWith reports an error of a shaft.
func (w *walker) failWith(e notation.Expr, code source.Code, err error) bool {
	var list source.List
	if errors.As(err, &list) && list.HasErrors() {
		first := list.FirstError()
		w.failAt(e.Span(), first.Code, first.Repair, "%s", first.Message)
		return false
	}
	if isLimit(err) {
		return w.failLimit(e, err)
	}
	return w.fail(e, code, "%s", err)
}

// placeAtUse moves a diagnostic inside a function's body to the outermost use.
func placeAtUse(d *source.Diagnostic, calls []*notation.Call) {
	if len(calls) == 0 {
		return
	}
	inside := d.Span
	d.Span = calls[0].Span()
	for _, c := range calls[1:] {
		d.Related = append(d.Related, source.Related{Span: c.Span(), Message: "through " + short(c.Span().Content())})
	}
	if inside.IsValid() {
		last := calls[len(calls)-1]
		d.Related = append(d.Related, source.Related{Span: inside, Message: "in the formula of " + last.Fun.Ident})
	}
}

// when returns for which values of bound names something happened.
func (w *walker) when() string {
	var parts []string
	for _, l := range w.locals {
		if l.form == nil || l.isBracket {
			continue
		}
		parts = append(parts, place(l.form, l.x))
	}
	if len(parts) == 0 {
		return ""
	}
	return ", when " + words.And(parts)
}

// place writes a value of the name that a form binds, in the unit in which the
// reader wrote its range; where that is not to be seen, in SI base units, and
// it reports that.
func place(form *notation.Bind, x float64) string {
	name := form.Var.Ident + " = "
	for _, end := range []notation.Expr{form.To, form.From} {
		if end == nil {
			continue
		}
		switch end := notation.Unparen(end).(type) {
		case *notation.Quantity:
			return name + digits(x/end.Unit.Unit.Factor) + " " + end.Unit.Text
		case *notation.Number:
			if end.Value != 0 {
				return name + digits(x)
			}
		}
	}
	if form.Kind == notation.Sum || form.Kind == notation.Product {
		return name + digits(x)
	}
	return name + digits(x) + " (SI)"
}

// digits writes a number for a message.
func digits(x float64) string {
	s := strconv.FormatFloat(x, 'g', 6, 64)
	if x == math.Trunc(x) && math.Abs(x) < 1e15 {
		s = strconv.FormatFloat(x, 'f', -1, 64)
	}
	return strings.Replace(s, "-", "−", 1)
}

// piece returns the text of an expression for a message.
func (w *walker) piece(e notation.Expr) string {
	e = notation.Unparen(e)
	if s := short(e.Span().Content()); s != "" && !w.derived {
		return s
	}
	return short(notation.Print(e))
}

// because adds "d_0 − d_0 is 0" to a message, unless the expression is a number
// as written.
func (w *walker) because(e notation.Expr, x float64, unit string) string {
	if isLiteral(e) {
		return ""
	}
	return ": " + w.piece(e) + " is " + digits(x) + unit
}

func short(s string) string {
	s = strings.Join(strings.Fields(s), " ")
	const most = 48
	if r := []rune(s); len(r) > most {
		return string(r[:most-1]) + "…"
	}
	return s
}

func (w *walker) failBinary(e *notation.Binary, op opcode, a, b float64) bool {
	switch {
	case op == opDiv && b == 0:
		w.failAt(e.Span(), CodeDivisionByZero, "", "division by zero%s", w.because(e.Y, b, ""))
	case op == opPow && a == 0 && b < 0:
		w.failAt(e.Span(), CodeDivisionByZero, "", "zero has no negative power%s", w.because(e.X, a, ""))
	case op == opPow && a < 0 && b != math.Trunc(b):
		w.failAt(e.Span(), CodeDomain, "", "a negative number has no power with a fraction as exponent%s", w.because(e.X, a, ""))
	default:
		w.failAt(e.Span(), CodeOverflow, "check the units and exponents", "the result is too large for a number here (%s %s %s)", digits(a), e.Op, digits(b))
	}
	return false
}

func (w *walker) failFunction(e notation.Expr, op opcode, arg notation.Expr, x float64) bool {
	why := w.because(arg, x, "")
	switch op {
	case opSqrt:
		w.failAt(e.Span(), CodeDomain, "", "a negative number has no square root%s", why)
	case opLn, opLog10:
		what := "a negative number"
		if x == 0 {
			what = "zero"
		}
		w.failAt(e.Span(), CodeDomain, "", "%s has no logarithm%s", what, why)
	case opAsin, opAcos:
		w.failAt(e.Span(), CodeDomain, "", "a sine or cosine lies between −1 and 1%s", why)
	case opTan:
		if math.Abs(x) <= largestAngle {
			w.failAt(e.Span(), CodeDomain, "", "the tangent has no value at a right angle%s", w.because(arg, x, " rad"))
			return false
		}
		fallthrough
	case opSin, opCos:
		w.failAt(e.Span(), CodeDomain, "", "the angle is too large to know where in the turn it lies%s", w.because(arg, x, " rad"))
	default:
		w.failAt(e.Span(), CodeOverflow, "check the units and exponents", "the result is too large for a number here%s", why)
	}
	return false
}

func (w *walker) failBound(e *notation.Bind, bound notation.Expr, value float64) bool {
	if math.Abs(value) > largestBound {
		w.failAt(bound.Span(), CodeBounds, "", "a %s counts between −10¹² and 10¹², and this is %s", e.Kind, digits(value))
		return false
	}
	w.failAt(bound.Span(), CodeBounds, "write round(…), floor(…) or ceil(…) around it to say which is meant",
		"a %s counts in whole numbers, and this is %s", e.Kind, digits(value))
	return false
}

// errNeverZero is for a formula that is proved to have no root.
var errNeverZero = errors.New("the formula has no root in the range")

// failSearch puts the error of package num into the reader's words.
func (w *walker) failSearch(e *notation.Bind, err error) bool {
	var (
		diverges  *num.DivergentError
		slow      *num.NotConvergedError
		undefined *num.UndefinedError
		noRoot    *num.NoRootError
		unbounded *num.UnboundedError
		kink      *num.NoDerivativeError
		budget    *num.BudgetError
	)
	switch {
	case errors.Is(err, errNeverZero):
		w.failAt(e.Span(), CodeRoot, "look at the formula: it comes close to zero without reaching it", "no root was found: the formula is proved never to be zero in this range")
	case errors.Is(err, errFarOut):
		w.failAt(e.Span(), CodeIntegral, "end the range at a large number, if that is meant",
			"this integral has no value that could be found: far out the formula does not fall off fast enough, or goes on changing its sign")
	case errors.As(err, &diverges) && math.IsInf(diverges.Where, 0):
		w.failAt(e.Span(), CodeIntegral, "end the range at a large number, if that is meant",
			"this integral has no finite value: far out the formula goes like %s to the power %s, and below −1 is needed", e.Var.Ident, digits(diverges.Exponent))
	case errors.As(err, &diverges) && !diverges.Proven:
		w.failAt(e.Span(), CodeIntegral, "split the range there, or begin a little beside that place",
			"this integral could not be found, and may have no finite value: near %s the formula grows about as the distance to the power %s", place(e, diverges.Where), digits(diverges.Exponent))
	case errors.As(err, &diverges):
		w.failAt(e.Span(), CodeIntegral, "leave that end out, or look at the formula there",
			"this integral has no finite value: near %s the formula grows as fast as the distance to the power %s", place(e, diverges.Where), digits(diverges.Exponent))
	case errors.As(err, &slow):
		w.failAt(e.Span(), CodeIntegral, "split the range there, or simplify the formula",
			"this integral could not be found to 12 digits: near %s the formula is too rough; %s ± %s (SI) is as close as it got",
			place(e, slow.Where), digits(slow.Best.Value), digits(slow.Best.ErrorEstimate))
	case errors.As(err, &noRoot):
		w.failAt(e.Span(), CodeRoot, "change the range so that the formula has opposite signs at its ends", "no root was found: %s", noRootWords(e, noRoot))
	case errors.As(err, &unbounded):
		w.failAt(e.Span(), CodeExtreme, "narrow the range", "there is no %s value: the formula grows without bound near %s", e.Kind, place(e, unbounded.Where))
	case errors.As(err, &kink):
		w.failAt(e.Span(), CodeDerivative, "", "there is no one slope at %s: the formula has a kink, a jump or noise there", place(e, kink.X))
	case errors.As(err, &budget):
		w.failAt(e.Span(), CodeTermLimit, "narrow the range", "more than %s values of the formula would be needed", thousands(int64(budget.MaxEvaluations)))
	case errors.As(err, &undefined):
		w.failAt(e.Body.Span(), CodeDomain, "", "the formula has no value near %s", place(e, undefined.Where))
	default:
		w.failAt(e.Span(), CodeUnknown, "", "%s", err)
	}
	return false
}

func noRootWords(form *notation.Bind, e *num.NoRootError) string {
	if len(e.Jumps) > 0 {
		what := "jumps over zero"
		if e.JumpIsPole {
			what = "grows without bound and changes sign"
		}
		return fmt.Sprintf("the formula %s at %s without being zero", what, place(form, e.Jumps[0]))
	}
	sign := "has no value at one end of the range and keeps its sign elsewhere"
	switch {
	case e.FA > 0 && e.FB > 0:
		sign = "is positive at both ends"
	case e.FA < 0 && e.FB < 0:
		sign = "is negative at both ends"
	}
	return fmt.Sprintf("the formula %s and changes sign nowhere between; it comes closest to zero at %s, where it is %s", sign, place(form, e.Nearest), digits(e.Value))
}

// underivable rewrites the failure of a symbolic derivative, whose text the
// reader has not written. That the rules give no value does not prove that there
// is no slope: √(x^4) has one at 0.
func (w *walker) underivable(e *notation.Bind, x float64) {
	message := w.problem.Message
	w.problem = nil
	w.failAt(e.Span(), CodeDerivative, "", "no slope was found at %s, where the formula of the slope has no value: %s", place(e, x), message)
}

// fewDigits is the relative error at which a difference has fewer than three
// good digits and is worth a note.
const fewDigits = 0.5e-3

// suspect is the first-order bound of the relative error past which a difference
// is worked out again, to see how many digits are left.
const suspect = fewDigits / 10

// noteLostDigits remarks on a sum or difference whose operands cancel so far
// that fewer than three digits are left of it. The digits are counted, with 57
// digits or by interval arithmetic: numbers that are exact lose nothing. It
// returns the relative error that it found.
func (w *walker) noteLostDigits(e *notation.Binary, a, b, r float64) float64 {
	off := w.rightness(e, r)
	if off <= fewDigits {
		return off
	}
	message := "these two agree to every digit that is held, so that no digit of the difference is right"
	if r != 0 {
		agree := int(math.Floor(-elementary.Log10(math.Abs(r) / max(math.Abs(a), math.Abs(b)))))
		left := 0
		if off < 1 {
			left = int(-elementary.Log10(2 * off))
		}
		message = fmt.Sprintf("these two agree to %d digits, so that only %s of the difference %s right", agree, words.Count(left, "digit"), words.Are(left))
	}
	w.remark(e.OpAt, CodeCancellation, message, "bring the formula into a form that does not subtract nearly equal numbers")
	return off
}

// noteTooSmall remarks on a result that is not zero but counts as zero.
func (w *walker) noteTooSmall(at source.Span) {
	if w.quiet {
		return
	}
	w.remark(at, CodeTooSmall, "the result is too small for a number here and counts as 0; the smallest is about 4.9×10^-324",
		"check the units and exponents")
}

// remark adds a note, once for a place; inside a function it is placed at the use.
func (w *walker) remark(at source.Span, code source.Code, message, repair string) {
	if len(w.calls) > 0 {
		at = w.calls[0].Span()
	}
	for _, n := range w.run.Notes {
		if n.Code == code && n.Span == at {
			return
		}
	}
	w.run.Notes.Notef(at, code, "%s", message).Repair = repair
}

func isWhole(x float64) bool { return x == math.Trunc(x) && math.Abs(x) < 1<<53 }

func isLiteral(e notation.Expr) bool {
	switch e := notation.Unparen(e).(type) {
	case *notation.Number, *notation.Quantity:
		return true
	case *notation.Unary:
		return isLiteral(e.X)
	}
	return false
}
