// Package plot draws numbers on axes: curves, and for a class the guesses and
// answers as multiples of the right value.
package plot
