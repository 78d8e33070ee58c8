package page

import "html/template"

// A Board is a lesson in large type, shown step by step to a room. Body is made
// by the lesson's renderer, with the cells from Cell and the exercises as Asked.
type Board struct {
	Frame
	Slug, Version, Heading, Aim string
	Body                        template.HTML
	Room                        string // where the class is seen at work; empty for whoever may not
}

// Asked is an exercise as a room sees it: what is given and what is asked, with
// no field and no answer.
type Asked struct {
	ID, Title string
	Question  template.HTML
	Asks      []Ask
}

// An Ask is one thing that is asked, with the sentences to pick from.
type Ask struct {
	Text    template.HTML
	Options []template.HTML
}
