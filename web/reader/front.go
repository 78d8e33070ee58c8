package reader

import (
	"context"
	_ "embed"

	"shaftbook/lessons"
	"shaftbook/web/page"
)

// front is the shaft on the front page: cells as of a lesson, which is not listed.
//
//go:embed front.md
var front []byte

const frontSlug = "front-page-shaft"

// addFront makes the shaft of the front page known to the live connection.
func (b *PageCache) addFront() {
	lesson, _ := lessons.Parse(frontSlug+".md", front)
	b.add(lesson)
}

// frontShaft returns the cells of the front page.
func (b *PageCache) frontShaft() (*page.Front, error) {
	made, err := b.pages[frontSlug].prose.get(context.Background())
	if err != nil {
		return nil, err
	}
	return &page.Front{Slug: frontSlug, Body: made.html}, nil
}
