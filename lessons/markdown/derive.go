package markdown

// A derivation is judged line by line. Its name may be left out.
var deriveConstruct = construct{word: "derive", name: slugPattern, nameRule: slugRule, optional: true, example: "```derive closed-form"}
