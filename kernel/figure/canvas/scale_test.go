package canvas

import (
	"strings"
	"testing"
)

func TestDegreeScale(t *testing.T) {
	for name, c := range map[string]struct {
		lo, hi float64
		n      int
		want   string
	}{
		"half a turn":           {0, 180, 5, "0 45 90 135 180"},
		"half a turn, narrow":   {0, 180, 3, "0 45 90 135 180"},
		"both ways":             {-180, 180, 5, "−180 −90 0 90 180"},
		"a turn, wide":          {0, 360, 8, "0 45 90 135 180 225 270 315 360"},
		"less than half a turn": {0, 120, 5, "0 30 60 90 120"},
		"a right angle":         {0, 90, 5, "0 20 40 60 80"},
		"small":                 {0, 2, 5, "0 0.5 1.0 1.5 2.0"},
		"many turns":            {0, 3600, 5, "0 720 1440 2160 2880 3600"},
		"more":                  {0, 10000, 5, "0 2000 4000 6000 8000 10\u202f000"},
	} {
		t.Run(name, func(t *testing.T) {
			s := DegreeScale(c.lo, c.hi, c.n, true)
			var labels []string
			for _, m := range s.Marks() {
				labels = append(labels, m.Label)
			}
			if got := strings.Join(labels, " "); got != c.want {
				t.Errorf("%q, want %q", got, c.want)
			}
		})
	}
}
