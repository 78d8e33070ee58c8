package typeset

import (
	"shaftbook/kernel/notation"
	"shaftbook/kernel/typeset/box"
)

// readings sets the head of readings; the readings are in the table below.
func (s setter) readings(n *notation.Readings) box.Box {
	out := box.Row{box.Text("readings "), nameOrNothing(n.Name), box.Text(": ")}
	out = append(out, axisBox(n.X)...)
	out = append(out, box.Op{Sign: ",", Form: box.Comma})
	return append(out, axisBox(n.Y)...)
}

func axisBox(a notation.ReadingsAxis) box.Row {
	out := box.Row{nameOrNothing(a.Name)}
	if a.Unit != nil {
		out = append(out, box.Text(" in "), unitBox(a.Unit.Text))
	}
	return out
}

func (s setter) line(n *notation.Line) box.Box {
	out := box.Row{box.Text("line "), nameOrNothing(n.Name), box.Text(" through "), nameOrNothing(n.Through)}
	if n.Origin {
		out = append(out, box.Text(" and the origin"))
	}
	for i, x := range n.Without {
		if i == 0 {
			out = append(out, box.Text(" without reading "))
		} else {
			out = append(out, box.Op{Sign: ",", Form: box.Comma})
		}
		out = append(out, s.expr(x))
	}
	return out
}

func (s setter) plotLine(n *notation.PlotLine) box.Box {
	if n.Residuals {
		return box.Row{box.Text("plot of the residuals of "), nameOrNothing(n.Of)}
	}
	return box.Row{box.Text("plot of "), nameOrNothing(n.Of)}
}

func (v *voice) readings(n *notation.Readings) {
	v.say("readings", n.Name)
	v.pause()
	v.axis(n.X)
	v.say("and")
	v.axis(n.Y)
}

func (v *voice) axis(a notation.ReadingsAxis) {
	v.say(a.Name)
	if a.Unit != nil {
		v.say("in", unitSpoken(a.Unit.Text, true))
	}
}

func (v *voice) straightLine(n *notation.Line) {
	v.say("line", n.Name, "through", n.Through)
	if n.Origin {
		v.say("and the origin")
	}
	for i, x := range n.Without {
		v.say([]string{"without reading", "and"}[min(i, 1)], x)
	}
}

func (v *voice) plotLine(n *notation.PlotLine) {
	if n.Residuals {
		v.say("plot of the residuals of", n.Of)
		return
	}
	v.say("plot of", n.Of)
}
