package markdown

// An exercise sets a problem. Its name is part of the record of every answer,
// so it is a slug, and changing it parts the exercise from its record.
var exerciseConstruct = construct{word: "exercise", name: slugPattern, nameRule: slugRule, example: "```exercise quill-end"}
