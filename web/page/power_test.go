package page

import (
	"reflect"
	"testing"
)

func TestOnePowerInAColumn(t *testing.T) {
	for _, c := range []struct {
		name       string
		rows, want [][]string
	}{
		{"two powers and none", [][]string{{"1", "0.0627"}, {"32", "7.83×10⁻⁵"}, {"64", "1.96×10⁻⁶"}}, [][]string{{"1", "0.0627"}, {"32", "0.0000783"}, {"64", "0.00000196"}}},
		{"one power", [][]string{{"7.83×10⁻⁵"}, {"1.96×10⁻⁵"}}, [][]string{{"7.83×10⁻⁵"}, {"1.96×10⁻⁵"}}},
		{"one power and zero", [][]string{{"7.83×10⁻⁵"}, {"0"}}, [][]string{{"7.83×10⁻⁵"}, {"0"}}},
		{"one power and words", [][]string{{"7.83×10⁻⁵"}, {"no value"}}, [][]string{{"7.83×10⁻⁵"}, {"no value"}}},
		{"an estimate and a sign", [][]string{{"≈ 12.5×10⁻⁵"}, {"−3·10⁻³"}}, [][]string{{"≈ 0.000125"}, {"−0.003"}}},
		{"too small", [][]string{{"0.5"}, {"7.83×10⁻¹²"}}, [][]string{{"0.5"}, {"7.83×10⁻¹²"}}},
		{"large, which would gain digits", [][]string{{"5"}, {"7.8×10⁹"}}, [][]string{{"5"}, {"7.8×10⁹"}}},
		{"rows of different length", [][]string{{"1"}, {"2", "1×10⁻²"}, {"3", "0.5"}}, [][]string{{"1"}, {"2", "0.01"}, {"3", "0.5"}}},
		{"nothing", nil, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := withOnePower(c.rows); !reflect.DeepEqual(got, c.want) {
				t.Errorf("got %v, want %v", got, c.want)
			}
		})
	}
}

func TestNamesWithIndicesInReasons(t *testing.T) {
	for text, want := range map[string]string{
		"k = (d_1 − d_0)/L":      "k = (<i>d</i><sub>1</sub> − <i>d</i><sub>0</sub>)/L",
		"θ_mid < θ":              "<i>θ</i><sub>mid</sub> &lt; θ",
		"like terms add":         "like terms add",
		"<b>_x, and _ by itself": "&lt;b&gt;_x, and _ by itself",
	} {
		if got := withIndices(text); got != want {
			t.Errorf("%q: got %q, want %q", text, got, want)
		}
	}
}
