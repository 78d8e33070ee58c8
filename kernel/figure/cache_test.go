package figure

import (
	"bytes"
	"fmt"
	"testing"
)

// fake is a picture that is only a key and 1000 bytes of markup.
type fake struct {
	Picture
	name string
}

func (f fake) WriteKey(k *KeyWriter) { k.Text(f.name) }
func (f fake) KeySize() int          { return len(f.name) }
func (f fake) CachedSVG(Options, *Cache) ([]byte, error) {
	return bytes.Repeat([]byte("f"), 1000), nil
}

func TestCacheKeepsAndForgets(t *testing.T) {
	c := NewCache(20 << 10)
	first, err := c.SVG(fake{name: "first"}, Options{})
	if err != nil {
		t.Fatal(err)
	}
	again, _ := c.SVG(fake{name: "first"}, Options{})
	if &first[0] != &again[0] {
		t.Error("the same figure was drawn twice")
	}
	for i := range 50 {
		if _, err := c.SVG(fake{name: "first"}, Options{ID: fmt.Sprint("f", i)}); err != nil {
			t.Fatal(err)
		}
	}
	if later, _ := c.SVG(fake{name: "first"}, Options{}); &first[0] == &later[0] {
		t.Error("an old figure was kept beyond the bound")
	}
}
