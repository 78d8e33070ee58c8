package markdown

// A guess asks before a result is shown. Its name is part of the record of what was
// guessed, so it is a slug.
var guessConstruct = construct{word: "guess", name: slugPattern, nameRule: slugRule, example: "```guess nearer-which-end"}
