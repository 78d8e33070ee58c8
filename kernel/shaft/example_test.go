package shaft_test

import (
	"fmt"
	"math"

	"shaftbook/kernel/shaft"
)

// A tapered quill, held at its thick end, with a torque at its thin end.
func ExampleNew() {
	s, list := shaft.New(shaft.Spec{
		Pieces: []shaft.Piece{
			{Length: 0.2, G: 79e9, Outer: shaft.Uniform(0.054)},
			{Length: 0.8, G: 79e9, Outer: shaft.Profile{Start: 0.054, End: 0.036}},
		},
		Supports: []shaft.Support{{X: 0}},
		Torques:  []shaft.Torque{{X: 1, Value: 420}},
	})
	if err := list.Err(); err != nil {
		fmt.Println(err)
		return
	}
	reaction, _ := s.Reaction(0)
	stress, x := s.StressMax()
	fmt.Printf("twist %.4f°, reaction %.0f N·m, greatest stress %.2f MPa at %.1f m\n",
		s.TwistTotal()*180/math.Pi, reaction, stress/1e6, x)
	// Output:
	// twist 0.7663°, reaction -420 N·m, greatest stress 45.85 MPa at 1.0 m
}

// The bracket closes in like 1/n, the sum of segments like 1/n².
func ExampleShaft_Bracket() {
	s, _ := shaft.New(shaft.Spec{
		Pieces:   []shaft.Piece{{Length: 0.8, G: 79e9, Outer: shaft.Profile{Start: 0.036, End: 0.054}}},
		Supports: []shaft.Support{{X: 0}},
		Torques:  []shaft.Torque{{X: 0.8, Value: 420}},
	})
	for _, n := range []int{1, 10, 100} {
		b, _ := s.Bracket(n)
		sum, _ := s.Segments(n)
		fmt.Printf("%3d segments: %.6f, between %.6f and %.6f\n", n, sum, b.Lo, b.Hi)
	}
	fmt.Printf("exactly:      %.6f\n", s.TwistTotal())
	// Output:
	//   1 segments: 0.010565, between 0.005095 and 0.025793
	//  10 segments: 0.012082, between 0.011103 and 0.013173
	// 100 segments: 0.012100, between 0.011997 and 0.012204
	// exactly:      0.012100
}

// A motor's power and speed give the torque in its shaft.
func ExamplePowerTorque() {
	torque, _ := shaft.PowerTorque(12e3, 1450*2*math.Pi/60)
	fmt.Printf("12 kW at 1450 rpm is %.2f N·m\n", torque)
	// Output:
	// 12 kW at 1450 rpm is 79.03 N·m
}
