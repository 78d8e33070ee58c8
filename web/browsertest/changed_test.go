package browsertest

import (
	"testing"
	"testing/fstest"

	"shaftbook/lessons"
	"shaftbook/web"
)

// TestLessonChangesUnderAPage: the page of a lesson says that the lesson has changed,
// goes on with its text, and shows the new one when it is loaded again.
func TestLessonChangesUnderAPage(t *testing.T) {
	t.Parallel()
	const text = "---\ntitle: A post\norder: 1\nsummary: One shaft.\nminutes: 5\n---\n\nOf alder.\n\n```calc\nvary L from 1 m to 2 m\nd = 2·L\n```\n"
	const mended = "---\ntitle: A post\norder: 1\nsummary: One shaft.\nminutes: 5\n---\n\nOf birch.\n\n```calc\nvary L from 1 m to 3 m\nd = 2·L\n```\n"
	catalog := func(text string) *lessons.Catalog {
		return shelfOf(t, fstest.MapFS{"post.md": {Data: []byte(text)}})
	}
	s := &web.Server{Catalog: catalog(text)}
	open(t, s, 0)
	b := newTab(t, 900, 700)
	b.open(s.URL() + "lesson/post")
	b.until(`!document.querySelector(".js-slider input:disabled")`)
	s.Replace(catalog(mended))
	b.until(`document.querySelector(".js-changed")?.textContent.includes("This lesson has changed.")`)
	b.until(`document.querySelector("main")?.textContent.includes("Of alder.")`)
	eval[bool](b, `document.querySelector(".js-changed a").click() || true`)
	b.until(`document.querySelector("main")?.textContent.includes("Of birch.") && !document.querySelector(".js-changed")`)
	b.until(`!document.querySelector(".js-slider input:disabled")`)
	s.Replace(&lessons.Catalog{Files: fstest.MapFS{}})
	b.until(`document.querySelector(".js-changed")?.textContent.includes("no longer on the server")`)
}
