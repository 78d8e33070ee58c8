package working_test

import (
	"strings"
	"testing"

	"shaftbook/kernel/check"
	"shaftbook/kernel/source"
	"shaftbook/kernel/working"
)

// Where a force or a torque is needed, a pound of mass draws one message, at the
// pound, with what to write instead as buttons. With any of them the cell is right,
// or the shaft is.
func TestPoundsAreMasses(t *testing.T) {
	const lengths = "r = 4 in\nd = 36 mm\nG = 79 GPa\nL = 0.8 m\n"
	const shaft = "shaft: G = 79 GPa\nsolid 36 mm for 1 m\nhold at 0 m\n"
	tests := []struct {
		name, text string
		code       source.Code
		at         string
		makes      []string
	}{
		{"added to a force", "F = 20 N\nx = F + 5 lb", check.CodePounds, "5 lb", []string{"5 lbf"}},
		{"a given that is added to a force", "F = 20 N\nP = 50 lb\nx = F + P", working.CodeMisfit, "50 lb", []string{"50 lbf"}},
		{"a given that makes a torque, shown as one", lengths + "W = 50 lb\nT = W·r in N·m", working.CodeMisfit, "50 lb", []string{"50 lbf"}},
		{"a given that makes a stress", lengths + "P = 50 lb\nT = P·r\nτ = 16·T/(π·d^3) in MPa", working.CodeMisfit, "50 lb", []string{"50 lbf"}},
		{"a given in place of a torque", lengths + "T = 50 lb\nθ = T·L/(G·π/32·d^4) in deg", working.CodeMisfit, "50 lb", []string{"50 lbf·in", "50 lbf·ft"}},
		{"a mass times an arm, shown as a torque", lengths + "T = 5 lb·r in N·m", check.CodePounds, "5 lb", []string{"5 lbf"}},
		{"a mass times an arm in a check", lengths + "expect 5 lb·r < 3 N·m", check.CodePounds, "5 lb", []string{"5 lbf"}},
		{"the torque of a shaft", shaft + "torque 50 lb at 1 m", check.CodePounds, "50 lb", []string{"50 lbf·in", "50 lbf·ft"}},
		{"the torque of a shaft, a mass times an arm", shaft + "torque 50 lb·(4 in) at 1 m", check.CodePounds, "50 lb", []string{"50 lbf"}},
		{"a spread torque", shaft + "torque 5 lb from 0 m to 1 m", check.CodePounds, "5 lb", []string{"5 lbf"}},
		{"a mass that is one", "m = 5 lb\nx = m + 2 kg", "", "", nil},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			text := strings.TrimPrefix(test.text, "shaft: ")
			prefix := strings.TrimSuffix(test.text, text)
			var said source.List
			for _, r := range exampleCell(t, test.text, nil) {
				said = append(said, r.Said(false)...)
			}
			if test.code == "" {
				if len(said) > 0 {
					t.Errorf("it says %v", said)
				}
				return
			}
			if len(said) != 1 || said[0].Severity != source.Error || said[0].Code != test.code || said[0].Span.Content() != test.at {
				t.Fatalf("it says %v", said)
			}
			d := said[0]
			fixes := d.Choices
			if d.Fix != nil {
				fixes = append(fixes, *d.Fix)
			}
			var makes []string
			for _, fix := range fixes {
				makes = append(makes, fix.Text)
				mended := text[:fix.Span.Start] + fix.Text + text[fix.Span.End:]
				for _, r := range exampleCell(t, prefix+mended, nil) {
					if len(r.Diagnostics) > 0 {
						t.Errorf("%s still says %v", fix.Text, r.Diagnostics)
					}
				}
			}
			if strings.Join(makes, "; ") != strings.Join(test.makes, "; ") {
				t.Errorf("the buttons make %q, want %q: %s", makes, test.makes, d.Error())
			}
		})
	}
}
