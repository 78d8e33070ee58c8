// Package tex reads the TeX that authors write between dollar signs into the
// boxes of a formula.
//
// It knows the commands that the author's guide lists and refuses everything
// else, with the place and a way out; nothing is guessed. It is not a macro
// processor: there are no definitions, and a command takes its arguments in
// braces.
package tex
