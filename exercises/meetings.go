package exercises

import (
	"math"

	"shaftbook/exercises/marking"
)

// TheAnswer is the name under which Meetings lists the right answer.
const TheAnswer = "the answer"

// Meetings returns for each slip of a part, by its name, what it leads to the same value as,
// within twice the tolerance, with these numbers: other slips, in words, and TheAnswer.
// Slips that say that they share their value are among them. A part that is not a number
// has none. The error is for a part that does not exist.
func (v *Variant) Meetings(part string) (map[string][]string, error) {
	i, err := v.partIndex(part)
	if err != nil {
		return nil, err
	}
	a, k := v.Structure.Parts[i], v.markers[i].Key
	if k == nil || a.Kind != marking.Number {
		return nil, nil
	}
	meetings := map[string][]string{}
	for i, s := range k.Slips {
		for _, value := range s.Values {
			if math.Abs(value-k.Value) <= 2*a.Tolerance.Widest(k.Value) {
				meetings[s.Slip.Name] = append(meetings[s.Slip.Name], TheAnswer)
				break
			}
		}
		for j, t := range k.Slips {
			if i != j && meet(s.Values, t.Values, a.Tolerance) {
				meetings[s.Slip.Name] = append(meetings[s.Slip.Name], a.SlipWords(t.Slip.Name))
			}
		}
	}
	return meetings, nil
}
