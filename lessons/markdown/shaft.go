package markdown

// A shaft cell describes one shaft. Its name is the name by which statements
// use the shaft, so it is a name of the notation.
var shaftConstruct = construct{word: "shaft", name: namePattern, nameRule: nameRule, example: "```shaft S"}
