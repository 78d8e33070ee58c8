// Package canvas draws lines, areas and text for figures and writes them as
// SVG, PNG, PDF or a trace.
//
// A figure draws once, with a Pen; all formats go through the canvas interface
// of gonum/plot, so that they agree.
package canvas
