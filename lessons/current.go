package lessons

import (
	"context"
	"slices"
	"sync"
)

// A Current holds the catalog that is served, which may be replaced by another one at
// any time. It is safe for concurrent use; make one with NewCurrent.
type Current struct {
	mu      sync.Mutex
	catalog *Catalog
	told    []func(Change)
}

// NewCurrent returns a Current with its first catalog.
func NewCurrent(catalog *Catalog) *Current { return &Current{catalog: catalog} }

// A Change is what one catalog has that the one before it had not.
type Change struct {
	Before, After *Catalog

	// Lessons are the slugs of the lessons with another text, new ones and those that
	// are gone, in the order of names.
	Lessons []string
}

// Replace serves another catalog from now on. Whoever holds the one before goes on with
// it; see Hold. It returns what has changed, after everybody was told who asked Tell to.
func (c *Current) Replace(next *Catalog) Change {
	c.mu.Lock()
	change := Change{Before: c.catalog, After: next, Lessons: changed(c.catalog, next)}
	c.catalog = next
	told := c.told
	c.mu.Unlock()
	for _, f := range told {
		f(change)
	}
	return change
}

// Tell has f called after each change, one after another. It is called before the first.
func (c *Current) Tell(f func(Change)) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.told = append(slices.Clip(c.told), f)
}

// Now returns the catalog that is served.
func (c *Current) Now() *Catalog {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.catalog
}

type heldKey struct{ of *Current }

// Hold returns a context under which In returns the same catalog throughout, so that a
// request does not see half of a change.
func (c *Current) Hold(ctx context.Context) context.Context {
	return context.WithValue(ctx, heldKey{c}, c.Now())
}

// In returns the catalog that ctx holds; without one, the catalog that is served.
func (c *Current) In(ctx context.Context) *Catalog {
	if held, ok := ctx.Value(heldKey{c}).(*Catalog); ok {
		return held
	}
	return c.Now()
}

// changed returns the slugs of the lessons in which two catalogs differ.
func changed(before, after *Catalog) (slugs []string) {
	for _, l := range before.Lessons {
		if now, ok := after.Lesson(l.Slug); !ok || now.Text.Content != l.Text.Content {
			slugs = append(slugs, l.Slug)
		}
	}
	for _, l := range after.Lessons {
		if _, ok := before.Lesson(l.Slug); !ok {
			slugs = append(slugs, l.Slug)
		}
	}
	slices.Sort(slugs)
	return slugs
}
