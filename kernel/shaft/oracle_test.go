package shaft

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"shaftbook/kernel/interval"
)

// An oracleRow is one line of testdata/shafts.csv.
type oracleRow struct {
	id              string
	spec            Spec
	length          float64
	twist, mid      float64
	first, second   float64
	hasFirst, twice bool
}

func oracle(t testing.TB) []oracleRow {
	t.Helper()
	file, err := os.Open("testdata/shafts.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	r := csv.NewReader(file)
	r.Comment = '#'
	records, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	number := func(s string) float64 {
		v, err := strconv.ParseFloat(s, 64)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	var rows []oracleRow
	for _, f := range records[1:] {
		row := oracleRow{id: f[0], spec: parseCell(t, f[1]), length: number(f[2]), twist: number(f[3]), mid: number(f[4])}
		if row.hasFirst = f[5] != ""; row.hasFirst {
			row.first = number(f[5])
		}
		if row.twice = f[6] != ""; row.twice {
			row.second = number(f[6])
		}
		rows = append(rows, row)
	}
	return rows
}

// parseCell reads the few forms of line that testdata/shafts.csv has.
func parseCell(t testing.TB, cell string) Spec {
	t.Helper()
	spec := Spec{Name: "S"}
	modulus := 0.0
	for line := range strings.SplitSeq(cell, ";") {
		w := strings.Fields(line)
		mm := func(i int) float64 { return scaled(t, w[i], w[i+1]) }
		add := func(p Piece, k int) { // k: index of "for"
			p.G, p.Length = modulus, mm(k+1)
			spec.Pieces = append(spec.Pieces, p)
		}
		taper := func(i int) (Profile, int) { // a diameter, perhaps "to" another
			if i+2 < len(w) && w[i+2] == "to" {
				return Profile{Start: mm(i), End: mm(i + 3)}, i + 5
			}
			return Uniform(mm(i)), i + 2
		}
		switch w[0] {
		case "G":
			modulus = scaled(t, w[2], w[3])
		case "solid":
			d, k := taper(1)
			add(Piece{Outer: d}, k)
		case "hollow":
			d, k := taper(1)
			b, k := taper(k + 1)
			add(Piece{Outer: d, Bore: &b}, k)
		case "profile": // 40 mm + 8 mm·sin(π·x/(0.3 m)) for 380 mm
			mean, swing, wave := mm(1), scaled(t, w[4], "mm"), scaled(t, strings.TrimPrefix(w[5], "mm·sin(π·x/("), "m")
			add(Piece{Outer: waveProfile(mean, swing, wave)}, 7)
		case "core":
			spec.Pieces[len(spec.Pieces)-1].Core = &Core{Diameter: mm(1), G: scaled(t, w[4], w[5])}
		case "hold":
			spec.Supports = append(spec.Supports, Support{X: mm(2)})
		case "torque":
			value := scaled(t, w[1], w[2])
			if w[3] == "at" {
				spec.Torques = append(spec.Torques, Torque{Value: value, X: mm(4)})
			} else {
				spec.DistributedTorques = append(spec.DistributedTorques, DistributedTorque{Start: value, End: value, From: mm(4), To: mm(7)})
			}
		default:
			t.Fatalf("cannot read %q", line)
		}
	}
	return spec
}

// waveProfile is mean + swing·sin(π·x/wave).
func waveProfile(mean, swing, wave float64) Profile {
	return Profile{
		Func: func(dst, x []float64) error {
			for i, v := range x {
				dst[i] = mean + swing*math.Sin(math.Pi*v/wave)
			}
			return nil
		},
		Enclose: func(x interval.Interval) (interval.Interval, error) {
			var o outward
			s := interval.Sin(o.div(o.product(interval.Pi, x), (&outward{}).given(wave)))
			return o.sum((&outward{}).given(mean), o.product((&outward{}).given(swing), s)), o.err
		},
	}
}

func scaled(t testing.TB, number, unit string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(number, 64)
	if err != nil {
		t.Fatal(err)
	}
	switch strings.TrimSuffix(unit, ")") {
	case "mm":
		return v / 1000
	case "GPa":
		return v * 1e9
	case "m", "N·m", "N·m/m":
		return v
	}
	t.Fatalf("cannot read the unit %q", unit)
	return 0
}

func build(t testing.TB, spec Spec) *Shaft {
	t.Helper()
	s, list := New(spec)
	if err := list.Err(); err != nil {
		t.Fatal(err)
	}
	return s
}

// largestTwist samples the twist along the shaft.
func largestTwist(t testing.TB, s *Shaft) float64 {
	t.Helper()
	largest := 0.0
	for i := range 201 {
		v, err := s.Twist(s.Length() * float64(i) / 200)
		if err != nil {
			t.Fatal(err)
		}
		largest = max(largest, math.Abs(v))
	}
	return largest
}

// largestLoad is the sum of the sizes of all loads.
func largestLoad(spec Spec) float64 {
	sum := 0.0
	for _, t := range spec.Torques {
		sum += math.Abs(t.Value)
	}
	for _, p := range spec.DistributedTorques {
		sum += (math.Abs(p.Start) + math.Abs(p.End)) / 2 * (p.To - p.From)
	}
	return sum
}

func TestOracle(t *testing.T) {
	const tol = 1e-12
	worst := map[string]float64{}
	for _, row := range oracle(t) {
		t.Run(row.id, func(t *testing.T) {
			s := build(t, row.spec)
			check := func(what string, got, want, scale float64) {
				t.Helper()
				d := math.Abs(got-want) / scale
				worst[what] = max(worst[what], d)
				if !(d <= tol) {
					t.Errorf("%s = %.17g, want %.17g: off by %.2g of %g", what, got, want, d, scale)
				}
			}
			largest := largestTwist(t, s)
			check("length", s.Length(), row.length, row.length)
			check("twist", s.TwistTotal(), row.twist, largest)
			mid, err := s.Twist(row.length / 2)
			if err != nil {
				t.Fatal(err)
			}
			check("mid twist", mid, row.mid, largest)
			if got := len(s.SupportPlaces()); row.hasFirst != (got > 0) || row.twice != (got > 1) {
				t.Fatalf("%d holds", got)
			}
			for i, want := range []float64{row.first, row.second}[:len(s.SupportPlaces())] {
				r, err := s.Reaction(s.SupportPlaces()[i])
				if err != nil {
					t.Fatal(err)
				}
				check("reaction", r, want, largestLoad(row.spec))
			}
		})
	}
	t.Log("largest differences: " + fmt.Sprint(worst))
}
