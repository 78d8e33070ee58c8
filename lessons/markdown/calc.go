package markdown

// A calculation cell holds statements of the lesson's working. Its name may be
// left out.
var calcConstruct = construct{word: "calc", name: slugPattern, nameRule: slugRule, optional: true, example: "```calc"}
