package reader

import (
	"context"
	"maps"
	"sync"

	"shaftbook/lessons"
	"shaftbook/lessons/search"
	"shaftbook/web/compress"
)

// A shelf is the pages of one catalog. Those that are made when they are first asked for
// are made of this catalog, whatever is served by then.
type shelf struct {
	cache   *PageCache
	catalog *lessons.Catalog
	pages   map[string]*lessonPage // also those that are in no catalog

	front, glossary, symbols func() (*compress.Bytes, error)
	sections                 *memo[[]search.Section] // of all lessons, in the order of the catalog
}

// in returns the pages of the catalog that ctx holds; see lessons.Current.
func (b *PageCache) in(ctx context.Context) *shelf {
	catalog := b.catalog.In(ctx)
	s, _ := b.shelves.Do(catalog, func() (*shelf, error) { return b.newShelf(catalog), nil })
	return s
}

// newShelf returns the pages of a catalog. A lesson that was read once and is in the
// catalog before too keeps what was made of it.
func (b *PageCache) newShelf(catalog *lessons.Catalog) *shelf {
	s := &shelf{cache: b, catalog: catalog, pages: map[string]*lessonPage{}}
	s.front = sync.OnceValues(s.makeFront)
	s.glossary = sync.OnceValues(func() (*compress.Bytes, error) { return s.makeGlossary(nil) })
	s.symbols = sync.OnceValues(func() (*compress.Bytes, error) { return s.makeSymbols(nil) })
	s.sections = newMemo(func(ctx context.Context) (all []search.Section, err error) {
		for _, l := range catalog.Lessons {
			of, err := s.pages[l.Slug].sections.get(ctx)
			if err != nil {
				return nil, err
			}
			all = append(all, of...)
		}
		return all, nil
	})
	before := b.newest.Load()
	for _, l := range catalog.Lessons {
		var old *lessonPage
		if before != nil {
			if p := before.pages[l.Slug]; p != nil && p.lesson == l {
				old = p
			}
		}
		s.pages[l.Slug] = b.newPage(l, s, old)
	}
	maps.Copy(s.pages, b.unlisted)
	b.newest.Store(s)
	return s
}
