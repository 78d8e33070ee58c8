package reader

import (
	"context"
	_ "embed"
	"errors"
	"html/template"
	"strings"

	"shaftbook/lessons"
	"shaftbook/web/page"
)

// front is the shaft on the front page: cells as of a lesson, which is not listed.
//
//go:embed front.md
var front []byte

// frontFold begins the section of the front page that is folded.
const frontFold = `<div class="passage"><h2`

const frontSlug = "front-page-shaft"

// addFront makes the shaft of the front page known to the live connection.
func (b *PageCache) addFront() {
	lesson, _ := lessons.Parse(frontSlug+".md", front)
	b.add(lesson)
}

// frontShaft returns the cells of the front page.
func (b *PageCache) frontShaft() (*page.Front, error) {
	made, err := b.unlisted[frontSlug].prose.get(context.Background())
	if err != nil {
		return nil, err
	}
	body, more, found := strings.Cut(string(made.html), frontFold)
	if !found {
		return nil, errors.New("the front page has no section to fold")
	}
	return &page.Front{Slug: frontSlug, Body: template.HTML(body), More: template.HTML(frontFold + more)}, nil
}
