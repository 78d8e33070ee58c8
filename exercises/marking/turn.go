package marking

import "context"

// A Turn is a wrong turn by which given names were taken to have other values.
type Turn struct {
	Values map[int]float64 // SI values by place in Numbers.Givens
	Result float64         // the answer that follows
}

// isStandIn lists slips of the catalogue that are worked out by changing a name that
// the learner did not take wrongly, and slips that may have been made in any line.
var isStandIn = map[string]bool{
	"bending-for-torsion": true, // G stands in for J
	"split-by-length":     true, // equal diameters stand in for leaving J out
	"mean-of-moments":     true, // a diameter with the mean J
	"mean-of-twists":      true,
	"power-of-ten":        true,
	"millimetres":         true,
}

// Turns returns what a slip of the catalogue takes wrongly, one for each value that it
// may lead to. There are none for a slip that is not such a change of given names.
// The error is for a slip that has no value.
func (m *Marker) Turns(ctx context.Context, s *Slip) ([]Turn, error) {
	if s.General == nil || isStandIn[s.Name] {
		return nil, nil
	}
	var turns []Turn
	c := m.slipCase(ctx, s)
	c.turns = &turns
	_, err := c.values()
	return turns, err
}

// SlipNamed returns a slip of the part, or one of the catalogue that is looked for in
// every part.
func (m *Marker) SlipNamed(name string) (*Slip, bool) {
	for _, s := range m.Scheme.Slips {
		if s.Name == name {
			return s, true
		}
	}
	if g, ok := LookupSlip(name); ok && g.HasValue() && !g.TakesFactor {
		return &Slip{Name: name, Says: g.Says, Next: g.Next, General: g}, true
	}
	return nil, false
}
