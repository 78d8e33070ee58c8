package unit_test

import (
	"fmt"

	"shaftbook/kernel/unit"
)

func ExampleParse() {
	torque, err := unit.Parse("lbf*in")
	fmt.Println(torque, torque.Factor, torque.Dim, err)
	_, err = unit.Parse("kN.m")
	fmt.Println(err)
	_, err = unit.Parse("Nm")
	fmt.Println(err)
	// Output:
	// lbf·in 0.1129848290276167 m²·kg·s⁻² <nil>
	// a unit cannot go on with "."
	// the units in Nm are joined by a dot: write N·m
}

func ExampleFormat() {
	deg, _ := unit.Lookup("deg")
	twist := 0.01694 // rad
	fmt.Println(unit.Format(twist, deg, unit.Rounding{}))
	fmt.Println(unit.Format(twist, deg, unit.Rounding{Figures: 2}))
	fmt.Println(unit.FormatBracket(0.01627, 0.01769, deg, unit.Rounding{}))
	// Output:
	// 0.9706 deg
	// 0.97 deg
	// between 0.9322 deg and 1.014 deg
}

func ExampleDescribe() {
	mm, _ := unit.Lookup("mm")
	fourth, _ := unit.Pow(mm, unit.Whole(4))
	fmt.Println(unit.Describe(mm.Dim), "and", unit.Describe(fourth.Dim))
	// Output: a length and a second moment of area or torsion constant
}
