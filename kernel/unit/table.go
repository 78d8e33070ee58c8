package unit

// A PrefixRule is which SI prefixes a symbol takes.
type PrefixRule int

const (
	NoPrefix    PrefixRule = iota
	AnyPrefix              // quecto to quetta
	LargePrefix            // kilo and up: kt, Mt
)

// An Entry is one row of the table of units.
type Entry struct {
	Symbols  []string // the first is the one shown
	Name     string
	Exact    string // SI base units per unit: decimals and π joined by *, then perhaps one /
	Dim      Dimension
	Prefixes PrefixRule
	Source   string
	Note     string // what else a reader should know; may be empty
}

const (
	sourceBase    = "SI Brochure, 9th ed., table 2"
	sourceNamed   = "SI Brochure, 9th ed., table 4"
	sourceNonSI   = "SI Brochure, 9th ed., table 8"
	sourcePercent = "SI Brochure, 9th ed., 5.4.7"
	sourceYard    = "exact: international yard and pound agreement, 1959"
	sourceNIST    = "NIST SP 811 (2008), App. B.8"
)

// si returns a dimension from its whole exponents: length, mass, time,
// current, temperature, amount, luminous intensity.
func si(exponents ...int) Dimension {
	var d Dimension
	for i, n := range exponents {
		d[i] = Whole(n)
	}
	return d
}

// table holds the units without prefixes. The gram takes the place of the kilogram,
// whose name already holds a prefix.
var table = []Entry{
	{[]string{"m"}, "metre", "1", si(1), AnyPrefix, sourceBase, ""},
	{[]string{"g"}, "gram", "0.001", si(0, 1), AnyPrefix, sourceBase, "the base unit is the kilogram, kg"},
	{[]string{"s"}, "second", "1", si(0, 0, 1), AnyPrefix, sourceBase, ""},
	{[]string{"A"}, "ampere", "1", si(0, 0, 0, 1), AnyPrefix, sourceBase, ""},
	{[]string{"K"}, "kelvin", "1", si(0, 0, 0, 0, 1), AnyPrefix, sourceBase, ""},
	{[]string{"mol"}, "mole", "1", si(0, 0, 0, 0, 0, 1), AnyPrefix, sourceBase, ""},
	{[]string{"cd"}, "candela", "1", si(0, 0, 0, 0, 0, 0, 1), AnyPrefix, sourceBase, ""},

	{[]string{"rad"}, "radian", "1", si(), AnyPrefix, sourceNamed, "angle is a pure number"},
	{[]string{"sr"}, "steradian", "1", si(), AnyPrefix, sourceNamed, "solid angle is a pure number"},
	{[]string{"Hz"}, "hertz", "1", si(0, 0, -1), AnyPrefix, sourceNamed, "cycles per second, not radians per second"},
	{[]string{"N"}, "newton", "1", si(1, 1, -2), AnyPrefix, sourceNamed, ""},
	{[]string{"Pa"}, "pascal", "1", si(-1, 1, -2), AnyPrefix, sourceNamed, ""},
	{[]string{"J"}, "joule", "1", si(2, 1, -2), AnyPrefix, sourceNamed, "has the dimension of a torque"},
	{[]string{"W"}, "watt", "1", si(2, 1, -3), AnyPrefix, sourceNamed, ""},
	{[]string{"C"}, "coulomb", "1", si(0, 0, 1, 1), AnyPrefix, sourceNamed, ""},
	{[]string{"V"}, "volt", "1", si(2, 1, -3, -1), AnyPrefix, sourceNamed, ""},
	{[]string{"F"}, "farad", "1", si(-2, -1, 4, 2), AnyPrefix, sourceNamed, ""},
	{[]string{"Ω"}, "ohm", "1", si(2, 1, -3, -2), AnyPrefix, sourceNamed, ""},
	{[]string{"S"}, "siemens", "1", si(-2, -1, 3, 2), AnyPrefix, sourceNamed, ""},
	{[]string{"Wb"}, "weber", "1", si(2, 1, -2, -1), AnyPrefix, sourceNamed, ""},
	{[]string{"T"}, "tesla", "1", si(0, 1, -2, -1), AnyPrefix, sourceNamed, ""},
	{[]string{"H"}, "henry", "1", si(2, 1, -2, -2), AnyPrefix, sourceNamed, ""},
	{[]string{"lm"}, "lumen", "1", si(0, 0, 0, 0, 0, 0, 1), AnyPrefix, sourceNamed, ""},
	{[]string{"lx"}, "lux", "1", si(-2, 0, 0, 0, 0, 0, 1), AnyPrefix, sourceNamed, ""},
	{[]string{"Bq"}, "becquerel", "1", si(0, 0, -1), AnyPrefix, sourceNamed, ""},
	{[]string{"Gy"}, "gray", "1", si(2, 0, -2), AnyPrefix, sourceNamed, ""},
	{[]string{"Sv"}, "sievert", "1", si(2, 0, -2), AnyPrefix, sourceNamed, ""},
	{[]string{"kat"}, "katal", "1", si(0, 0, -1, 0, 0, 1), AnyPrefix, sourceNamed, ""},

	{[]string{"min"}, "minute", "60", si(0, 0, 1), NoPrefix, sourceNonSI, ""},
	{[]string{"h"}, "hour", "3600", si(0, 0, 1), NoPrefix, sourceNonSI, ""},
	{[]string{"d"}, "day", "86400", si(0, 0, 1), NoPrefix, sourceNonSI, ""},
	{[]string{"deg", "°"}, "degree", "π/180", si(), NoPrefix, sourceNonSI, "deg is our spelling of °, easier to type"},
	{[]string{"mdeg"}, "millidegree", "π/180000", si(), NoPrefix, sourceNonSI, "a thousandth of a degree"},
	{[]string{"′"}, "minute of arc", "π/10800", si(), NoPrefix, sourceNonSI, ""},
	{[]string{"″"}, "second of arc", "π/648000", si(), NoPrefix, sourceNonSI, ""},
	{[]string{"ha"}, "hectare", "10000", si(2), NoPrefix, sourceNonSI, ""},
	{[]string{"L", "l"}, "litre", "0.001", si(3), AnyPrefix, sourceNonSI, ""},
	{[]string{"t"}, "tonne", "1000", si(0, 1), LargePrefix, sourceNonSI, ""},
	{[]string{"au"}, "astronomical unit", "149597870700", si(1), NoPrefix, sourceNonSI, ""},
	{[]string{"Da"}, "dalton", "1.66053906660e-27", si(0, 1), AnyPrefix, sourceNonSI, "measured, not exact: ±0.00000000050e-27 kg"},
	{[]string{"eV"}, "electronvolt", "1.602176634e-19", si(2, 1, -2), AnyPrefix, sourceNonSI, ""},
	{[]string{"%"}, "per cent", "0.01", si(), NoPrefix, sourcePercent, ""},

	{[]string{"rev"}, "revolution", "2*π", si(), NoPrefix, sourceNIST, ""},
	{[]string{"rpm", "r/min"}, "revolution per minute", "2*π/60", si(0, 0, -1), NoPrefix, sourceNIST, "a rotational speed: 1 rpm = 2π/60 rad/s"},
	{[]string{"r/s"}, "revolution per second", "2*π", si(0, 0, -1), NoPrefix, sourceNIST, "a rotational speed: 1 r/s = 2π rad/s"},

	{[]string{"in"}, "inch", "0.0254", si(1), NoPrefix, sourceYard, ""},
	{[]string{"ft"}, "foot", "0.3048", si(1), NoPrefix, sourceYard, ""},
	{[]string{"mil", "thou"}, "mil", "0.0254/1000", si(1), NoPrefix, sourceNIST, "a thousandth of an inch"},
	{[]string{"yd"}, "yard", "0.9144", si(1), NoPrefix, sourceYard, ""},
	{[]string{"mi"}, "mile", "5280*0.3048", si(1), NoPrefix, sourceYard, "the international mile"},
	{[]string{"lb"}, "pound", "0.45359237", si(0, 1), NoPrefix, sourceYard, "a mass; the force is lbf"},
	{[]string{"oz"}, "ounce", "0.45359237/16", si(0, 1), NoPrefix, sourceYard, "avoirdupois, a mass; the force is ozf"},
	{[]string{"slug"}, "slug", "0.45359237*9.80665/0.3048", si(0, 1), NoPrefix, sourceNIST, "lbf·s²/ft"},
	{[]string{"lbf"}, "pound-force", "0.45359237*9.80665", si(1, 1, -2), NoPrefix, sourceNIST, "1 lb × standard gravity, exact"},
	{[]string{"ozf"}, "ounce-force", "0.45359237*9.80665/16", si(1, 1, -2), NoPrefix, sourceNIST, ""},
	{[]string{"kip"}, "kip", "1000*0.45359237*9.80665", si(1, 1, -2), NoPrefix, sourceNIST, "1000 lbf"},
	{[]string{"tonf"}, "ton-force", "2000*0.45359237*9.80665", si(1, 1, -2), NoPrefix, sourceNIST, "the US short ton, 2000 lbf; the British ton is 2240 lbf"},
	{[]string{"psi"}, "pound-force per square inch", "0.45359237*9.80665/(0.0254*0.0254)", si(-1, 1, -2), NoPrefix, sourceNIST, "lbf/in²"},
	{[]string{"ksi"}, "kip per square inch", "1000*0.45359237*9.80665/(0.0254*0.0254)", si(-1, 1, -2), NoPrefix, sourceNIST, "1000 lbf/in²"},
	{[]string{"Msi", "Mpsi"}, "million pounds-force per square inch", "1000000*0.45359237*9.80665/(0.0254*0.0254)", si(-1, 1, -2), NoPrefix, sourceNIST, "10⁶ lbf/in²"},
	{[]string{"hp"}, "horsepower", "550*0.3048*0.45359237*9.80665", si(2, 1, -3), NoPrefix, sourceNIST, "mechanical horsepower, 550 ft·lbf/s"},
}

// A Prefix is an SI prefix, a power of ten.
type Prefix struct {
	Symbol, Name string
	Exponent     int
}

// Prefixes lists the SI prefixes, largest first (SI Brochure, 9th ed., table 7,
// with the four of 2022). The value must not be changed.
var Prefixes = []Prefix{
	{"Q", "quetta", 30}, {"R", "ronna", 27}, {"Y", "yotta", 24}, {"Z", "zetta", 21},
	{"E", "exa", 18}, {"P", "peta", 15}, {"T", "tera", 12}, {"G", "giga", 9},
	{"M", "mega", 6}, {"k", "kilo", 3}, {"h", "hecto", 2}, {"da", "deca", 1},
	{"d", "deci", -1}, {"c", "centi", -2}, {"m", "milli", -3}, {"μ", "micro", -6},
	{"n", "nano", -9}, {"p", "pico", -12}, {"f", "femto", -15}, {"a", "atto", -18},
	{"z", "zepto", -21}, {"y", "yocto", -24}, {"r", "ronto", -27}, {"q", "quecto", -30},
}

// All returns the table of units, in the order of a reference page: SI base
// units, SI units with names of their own, units accepted with the SI, turns,
// US customary units. The value must not be changed.
func All() []Entry { return table }

func (e *Entry) takes(p Prefix) bool {
	switch e.Prefixes {
	case AnyPrefix:
		return true
	case LargePrefix:
		return p.Exponent >= 3
	}
	return false
}
