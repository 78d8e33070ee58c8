// Package unit holds the units of measurement and the dimensions behind them:
// what a symbol means, exactly, with the source of its factor; how
// compound units are read and combined; and how a value is shown in a unit,
// rounded for display only.
//
// A value inside the kernel is a float64 in SI base units; x units are
// x·Factor there. The factor of every unit in the table, and of every compound
// with whole exponents, is the float64 nearest to its exact value.
//
// # Conflicts between symbols
//
// A symbol of the table always wins over a prefix with a shorter symbol: min is
// the minute, cd the candela, ft the foot (not a femtotonne), Pa the pascal, h
// the hour, d the day, T the tesla. A prefix alone (G, k) is not a unit, and a
// prefix comes directly before one symbol, so mN is a millinewton and m·N a
// newton metre. The tonne takes the prefixes from kilo up only. μ may be
// written with either code point (U+00B5, U+03BC); u is refused with a hint.
// The degree Celsius is refused, since its scale has an offset: a product or a
// difference would not mean what it seems to.
//
// # Not caught
//
// Torque and energy share m²·kg·s⁻², so a sum of the two passes. Angle is the
// number 1, so rad/s, Hz and 1/s are one dimension, and so are a torque and a
// stiffness in torque per radian; 50 Hz is read as 50/s, which as an angular
// speed is wrong by 2π. A torque spread along a length (N·m/m) is
// dimensionally a force. Stress, pressure, modulus and energy per volume share
// one dimension. A percentage is a number. lb is a mass and lbf a force;
// mixing them up is caught, since the dimensions differ.
package unit
