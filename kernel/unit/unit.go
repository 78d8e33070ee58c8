package unit

// A Unit is a unit of measurement, simple or compound, as it is written after
// a number. A value of x units is x·Factor in SI base units.
type Unit struct {
	Text   string    // as shown: "N·m", "mm⁴"
	Factor float64   // SI base units per unit; exact where the definition is
	Dim    Dimension // dimension; angle is a pure number
}
