// Package figure holds what every figure of a lesson has in common: the
// Picture that a page shows, downloads and reads out, the options to fit it to
// its place, its table, its trace, and a cache of drawn figures.
//
// The figures themselves are in packages plot and shaft, which draw through
// package canvas. They get plain numbers, already in the units they are shown
// in, with the text of their labels; they do not know the notation.
package figure
