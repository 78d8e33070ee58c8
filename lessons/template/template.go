// Package template holds the lesson that an author starts from. It has every kind of
// block, each explained in a sentence, and passes the check of a folder of lessons.
package template

import (
	_ "embed"
	"strconv"
	"strings"
)

//go:embed new-lesson.md
var text string

// Lesson returns the text of a new lesson with its title and its place in the order of its
// folder.
func Lesson(title string, order int) string {
	head := strings.NewReplacer("title: The name of the lesson\n", "title: "+strconv.Quote(title)+"\n", "order: 1\n", "order: "+strconv.Itoa(order)+"\n")
	return head.Replace(text)
}
