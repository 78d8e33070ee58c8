package typeset

import (
	"shaftbook/kernel/notation"
	"shaftbook/kernel/typeset/box"
)

// trials sets the head of trials: what is tried, and of what. The values that were
// tried are in the table below.
func (s setter) trials(n *notation.Trials) box.Box {
	out := box.Row{box.Text("trials of ")}
	for i, c := range n.Columns {
		if i > 0 {
			out = append(out, box.Op{Sign: ",", Form: box.Comma})
		}
		out = append(out, s.expr(c.Expr))
	}
	switch {
	case n.Bracket != nil:
		out = append(out, box.Text(" within "), s.expr(n.Bracket))
	case n.Low != nil:
		out = append(out, box.Text(" between "), s.expr(n.Low), box.Text(" and "), s.expr(n.High))
	}
	return append(out, box.Text(" for "), nameOrNothing(n.Var))
}

func (v *voice) trials(n *notation.Trials) {
	v.say("trials of")
	for i, c := range n.Columns {
		if i > 0 {
			v.pause()
		}
		v.expr(c.Expr)
	}
	switch {
	case n.Bracket != nil:
		v.say("within", n.Bracket)
	case n.Low != nil:
		v.say("between", n.Low, "and", n.High)
	}
	v.say("for", n.Var)
}
