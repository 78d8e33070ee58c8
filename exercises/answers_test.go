package exercises

import (
	"bufio"
	"os"
	"slices"
	"strings"
	"testing"
)

// asked are the exercises of testdata/answers.txt.
var asked = map[string]struct{ block, part string }{
	"twist":   {quill, "twist"},
	"formula": {quill, "formula"},
	"torque": {`title: The torque
given: {θ: 1.2 deg, L: 0.8 m, d: 41 mm, G: 79 GPa}
ask: The torque that turns one end by θ
answer: G·π/32·d^4·θ/L
unit: N·m
`, ""},
	"force": {`title: The lever
given: {T: 155 N·m, r: 0.5 m}
ask: The force at the end of the lever
answer: T/r
unit: N
`, ""},
	"length": {`title: The length
given: {a: 500 mm, b: 734.5 mm}
ask: The length of both pieces
answer: a + b
unit: mm
tolerance: 0.1 %
`, ""},
	"share": {`title: The share
given: {d: 36 mm, D: 54 mm}
ask: The stiffness of the thin shaft as a share of that of the thick one
answer: (d/D)^4
`, ""},
	"stress": {`title: The stress
given: {T: 420 N·m, d: 40 mm}
ask: The greatest shear stress
answer: 16·T/(π·d^3)
unit: MPa
`, ""},
	"turn": {`title: The turn
given: {T_a: 200 N·m, T_b: 300 N·m, L_a: 0.5 m, L_b: 0.45 m, d_a: 36 mm, d_b: 32 mm, G: 79 GPa}
ask: The twist of the right end relative to the left one
sign: The sense of T_a counts as positive
answer: T_a·L_a/(G·π/32·d_a^4) − T_b·L_b/(G·π/32·d_b^4)
unit: deg
`, ""},
	"pieces": {`title: Two pieces
given: {T: 300 N·m, L_a: 0.5 m, L_b: 0.4 m, d_a: 40 mm, d_b: 30 mm, G: 79 GPa}
shaft: |
  G = G
  solid d_a for L_a
  solid d_b for L_b
  hold at 0 mm
  torque T at L_a + L_b
ask: The twist of the far end
answer: S.twist
unit: deg
`, ""},
	"modulus": {`title: The modulus
given: {T: 573.761019 N·m, θ: 1.2 deg, L: 0.8 m, d: 41 mm}
ask: The shear modulus
answer: T·L/(θ·π/32·d^4)
unit: GPa
`, ""},
	"speed": {`title: The speed
given: {P: 49.11 kW, T: 284.2 N·m}
ask: The speed of the shaft
answer: P/T
unit: rpm
tolerance: 0.5 %
`, ""},
	"mass": {`title: The mass
given: {m_a: 0.3 kg, m_b: 0.2 kg}
ask: The mass of both
answer: m_a + m_b
unit: kg
`, ""},
	"power": {`title: The power
given: {T: 300 N·m, ω: 157.08 rad/s}
ask: The power
answer: T·ω
unit: kW
`, ""},
	"time": {`title: The time
given: {n: 1.5 rpm}
ask: The time of one turn
answer: 2·π/n
unit: min
`, ""},
	"sensitivity": {`title: The sensitivity
given: {d_a: 36 mm, d_b: 54 mm}
ask: The percentage change of the twist for each per cent change of the thin end’s diameter
sign: A twist that grows counts as positive
answer: (2·d_a^2 + d_a·d_b)/(d_a^2 + d_a·d_b + d_b^2) − 3
tolerance: 2 %
`, ""},
	"part": {`title: The part
given: {d: 36 mm, D: 54 mm}
ask: The stiffness of the thin shaft as a part of that of the thick one
answer: (d/D)^4
unit: "%"
`, ""},
	"percentage": {`title: The percentage
given: {d: 36 mm, D: 54 mm}
ask: The percentage of the stiffness that is left
answer: 100·(d/D)^4
`, ""},
	"frequency": {`title: The frequency
given: {n: 27.5, t: 1 s}
ask: How often the belt’s joint passes
answer: n/t
unit: Hz
`, ""},
	"rigidity": {`title: The rigidity
given: {T: 300 N·m, L: 0.5 m, G: 79 GPa, J: 251327 mm^4}
ask: The twist of the shaft
answer: T·L/(G·J)
unit: deg
`, ""},
	"rigidity-formula": {`title: The rigidity
given: {T: 300 N·m, L: 0.5 m, G: 79 GPa, J: 251327 mm^4}
ask:
  text: The twist of the shaft
  kind: formula
  answer: T·L/(G·J)
`, ""},
	"rise": {`title: The rise
given: {t_1: 20 K, t_2: 35 K}
ask: The rise of the temperature
answer: t_1 + t_2
unit: K
`, ""},
	"bar": {`title: The plain bar
given: {T: 280 N·m, L: 0.9 m, d: 36 mm, G: 79 GPa}
ask: The twist of the far end relative to the near end
answer: T·L/(G·π/32·d^4)
unit: deg
`, ""},
	"hoist": {`title: The shaft of the hoist
given: {P: 4 kW, N: 54 rpm, L: 2.4 m, G: 79 GPa, θ: 1 deg, τ: 40 MPa}
ask: The smallest diameter that keeps both promises
answer: max((16·P/(π·τ·N))^(1/3), (32·P·L/(π·G·θ·N))^(1/4))
unit: mm
tolerance: 1 %
`, ""},
	"jam": {`title: The jammed stepped bar
given: {T: 340 N·m, L_a: 340 mm, L_b: 500 mm, d_a: 31 mm, d_b: 41 mm}
ask: The magnitude of the torque at the left support
answer: T·(d_a^4/L_a)/(d_a^4/L_a + d_b^4/L_b)
unit: N·m
tolerance: 1 %
`, ""},
	"narrow": {`title: Between narrow bounds
given: {a: 0.3 deg, b: 0.3561 deg}
ask: The sum of both
answer: a + b
tolerance: 0.2 %
unit: deg
bounds: {low: 0.650 deg, high: 0.666 deg}
`, ""},
}

// TestTypedAnswers marks what people type and compares the verdict and the
// reading with what a teacher expects, which was written down first.
func TestTypedAnswers(t *testing.T) {
	variants := map[string]*Variant{}
	for name, a := range asked {
		variants[name] = set(t, a.block)
	}
	for _, row := range typedRows(t) {
		t.Run(row.exercise+" "+row.typed, func(t *testing.T) {
			v, part := variants[row.exercise], asked[row.exercise].part
			got := mark(t, v, part, row.typed)
			said := strings.Join(append([]string{string(got.Kind)}, got.Slips...), " ")
			if said != row.verdict {
				t.Errorf("%s: %s\nwant %s", said, got.Message, row.verdict)
			}
			read, err := v.Read(t.Context(), part, row.typed)
			if err != nil {
				t.Fatal(err)
			}
			want := strings.Split(row.read, " // ")
			switch {
			case len(got.Choices) > 0:
				var choices []string
				for _, c := range got.Choices {
					choices = append(choices, c.Text)
					if again, err := v.MarkText(t.Context(), part, c.Text, row.typed); err != nil || again.Text != c.Text {
						t.Errorf("the choice %s is read as %q, %v", c.Text, again.Text, err)
					}
				}
				if !slices.Equal(choices, want) || !slices.Equal(read.Choices, got.Choices) || got.Kind.IsTry() {
					t.Errorf("asks about %q and %q, want %q", choices, read.Choices, want)
				}
			case got.Text != "":
				if got.Text != row.read || read.Text != row.read {
					t.Errorf("read as %q and, before it is handed in, as %q, want %q", got.Text, read.Text, row.read)
				}
				again, err := v.MarkText(t.Context(), part, got.Text, row.typed)
				if err != nil || again.Kind != got.Kind || again.Text != got.Text || again.Points != got.Points {
					t.Errorf("what was read is judged otherwise: %+v", again)
				}
			case !strings.Contains(got.Message, row.read):
				t.Errorf("%q does not say what was read: %s", got.Message, row.read)
			}
			if changed := !strings.Contains(strings.ReplaceAll(row.typed, " ", ""), strings.ReplaceAll(row.read, " ", "")); changed && got.Text != "" && !strings.Contains(got.Message, row.read) {
				t.Errorf("%q does not say that it was read as %s", got.Message, row.read)
			}
		})
	}
}

type typedRow struct{ exercise, typed, verdict, read string }

func typedRows(t *testing.T) []typedRow {
	t.Helper()
	f, err := os.Open("testdata/answers.txt")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var rows []typedRow
	for lines := bufio.NewScanner(f); lines.Scan(); {
		line := lines.Text()
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		cells := strings.Split(line, " | ")
		if len(cells) == 3 {
			cells[2] = strings.TrimSuffix(cells[2], " |")
			cells = append(cells, "")
		}
		if len(cells) != 4 {
			t.Fatalf("not a row: %s", line)
		}
		rows = append(rows, typedRow{cells[0], cells[1], cells[2], cells[3]})
	}
	if len(rows) < 100 {
		t.Fatalf("%d rows", len(rows))
	}
	return rows
}
