package tex

import "shaftbook/kernel/typeset/box"

// A row is boxes that are read one after another, not yet with the room that
// their neighbours call for.
type row struct{ list box.Row }

func (r *row) add(b box.Box) { r.list = append(r.list, b) }

// pairs are the brackets that belong together.
var pairs = map[string]string{")": "(", "]": "[", "}": "{", "⌋": "⌊", "⌉": "⌈", "⟩": "⟨"}

// closed returns what a closing bracket closes, with its brackets, and takes it
// out of the row: so a power belongs to the whole of (a + b)². Brackets that
// are not a pair, as of a half-open range, stay signs of their own.
func (r *row) closed(b box.Box) box.Box {
	closer, ok := b.(box.Op)
	if !ok || closer.Form != box.Closing {
		return b
	}
	for i := len(r.list) - 1; i >= 0; i-- {
		opener, ok := r.list[i].(box.Op)
		if !ok || opener.Form != box.Opening {
			continue
		}
		if pairs[closer.Sign] != opener.Sign {
			return b
		}
		inside := row{append(box.Row(nil), r.list[i+1:]...)}
		r.list = r.list[:i]
		return box.Fence{Open: opener.Sign, Close: closer.Sign, X: box.Unwrap(inside.finished()), Growth: box.Never}
	}
	return b
}

// finished returns the row with its signs told from its operators and with room
// around the names of functions.
func (r *row) finished() box.Row {
	var out box.Row
	var before, operand box.Box // the box before b, and the same without spaces
	for _, b := range r.list {
		if op, ok := b.(box.Op); ok && op.Form == box.Infix && (op.Sign == "+" || op.Sign == "−" || op.Sign == "±" || op.Sign == "∓") && startsOperand(operand) {
			b = box.Op{Sign: op.Sign, Form: box.Prefix}
		}
		if before != nil && needsRoom(before, b) {
			out = append(out, box.Thin{})
		}
		if op, ok := b.(box.Op); ok && (op.Sign == "/" || op.Sign == ".") {
			b = box.Op{Sign: op.Sign, Form: box.Tight}
		}
		out = append(out, b)
		before = b
		if !isSpace(b) {
			operand = b
		}
	}
	return out
}

func isSpace(b box.Box) bool {
	switch b.(type) {
	case box.Thin, box.Space:
		return true
	}
	return false
}

// startsOperand reports whether what follows b opens an operand: a sign there is
// that of a number and not an operator (The TeXbook, chapter 18 and appendix G,
// rule 5, from memory).
func startsOperand(b box.Box) bool {
	switch b := b.(type) {
	case nil:
		return true
	case box.Op:
		return b.Form != box.Closing && b.Form != box.Tight
	case box.Ident:
		return functions[b.Name]
	case box.Limits:
		_, sign := b.Base.(box.Op)
		return sign
	}
	return false
}

// needsRoom reports whether TeX puts a thin space between a and b: beside the
// name of a function, but not before a bracket or an operator (The TeXbook,
// chapter 18, table of spacing between atoms, from memory).
func needsRoom(a, b box.Box) bool {
	return (isFunction(a) && isOrdinary(b)) || (isFunction(b) && isOrdinary(a))
}

func isOrdinary(b box.Box) bool {
	switch b := b.(type) {
	case box.Op, box.Space, box.Thin, nil:
		return false
	case box.Fence:
		return b.Growth == box.Always
	case box.Row:
		return len(b) > 0
	}
	return true
}

func isFunction(b box.Box) bool {
	switch b := b.(type) {
	case box.Ident:
		return b.Upright && functions[b.Name]
	case box.Script:
		return isFunction(b.Base)
	case box.Limits:
		return isFunction(b.Base)
	}
	return false
}
