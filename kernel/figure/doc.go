// Package figure draws every picture of a lesson: curves on axes and to-scale
// drawings of shafts, as SVG for the page and as PNG and PDF to take away.
//
// It gets plain numbers, already in the units they are shown in, with the
// text of their labels; it knows nothing of the notation. One drawing routine
// serves all three formats, through the canvas interface of gonum/plot.
package figure
