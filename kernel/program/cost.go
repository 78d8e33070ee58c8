package program

// Costs of what an evaluation does, in units of one addition of two numbers in
// a block. They are rough, within a factor of about five of the time taken,
// which is enough for a limit; they are the same on every machine.
const (
	costFunction = 20  // a sine or a logarithm
	costPower    = 60  // a power that is not multiplied out
	costDivision = 3   // a quotient or a root
	costSingle   = 5   // an operation on one number outside a block, as a multiple
	costNode     = 40  // a node that the walker evaluates to a number
	costEnclosed = 80  // a node that the walker evaluates to a bracket
	costStart    = 100 // beginning a loop
	costLook     = 40  // a node that a derivative in symbols is made from
	costSure     = 20  // an operation over an interval or a disc, to enclose a form
	costPoint    = 100 // choosing a point of an integral, a root or an extreme
)

// costOf returns what one operation on one number costs.
func costOf(op opcode) int64 {
	switch op {
	case opNone, opConst, opInput, opIndex:
		return 0
	case opDiv, opSqrt:
		return costDivision
	case opPow:
		return costPower
	case opSin, opCos, opTan, opAsin, opAcos, opAtan, opAtan2, opExp, opLn, opLog10:
		return costFunction
	case opField, opLoop, opWalk:
		return costSingle // what they do is booked when it is done
	}
	return 1
}

// count fills in what a program costs: a lane of a block, one value by itself,
// and beginning a run.
func (p *Program) count() {
	p.laneCost, p.valueCost, p.startCost = 1, costSingle, costStart
	for _, st := range p.steps {
		p.laneCost += max(1, costOf(p.code[st.id].op))
	}
	for _, id := range p.all {
		p.valueCost += costSingle + costOf(p.code[id].op)
	}
	for _, id := range p.once {
		p.startCost += costSingle + costOf(p.code[id].op)
	}
}
