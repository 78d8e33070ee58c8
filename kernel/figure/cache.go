package figure

import (
	"container/list"
	"crypto/sha256"
	"encoding/binary"
	"math"
	"sync"
)

// A Cache keeps figures that were drawn, keyed by everything that goes into
// them, and the frames of plots, so that a slider step that only moves points
// does not draw the axes again. It is safe for concurrent use. The zero Cache
// keeps nothing.
type Cache struct {
	mu    sync.Mutex
	max   int
	bytes int
	order *list.List // front is the most recently used
	kept  map[CacheKey]*list.Element
}

type CacheKey [sha256.Size]byte

type cacheEntry struct {
	key   CacheKey
	value any
	size  int
}

// entryOverhead is what an entry costs beside its markup, roughly.
const entryOverhead = 256

// NewCache returns a cache that holds at most maxBytes of markup.
func NewCache(maxBytes int) *Cache {
	return &Cache{max: maxBytes, order: list.New(), kept: make(map[CacheKey]*list.Element)}
}

// SVG returns what p.SVG(o) returns, drawing as little as it can. The caller
// must not change the bytes.
func (c *Cache) SVG(p Picture, o Options) ([]byte, error) {
	d, ok := p.(Cacheable)
	if !ok {
		return p.SVG(o)
	}
	k := KeyWriter{make([]byte, 0, d.KeySize())}
	k.Text(o.IDPrefix())
	k.Number(o.LayoutWidth())
	d.WriteKey(&k)
	key := k.Sum()
	if v, ok := c.Get(key); ok {
		return v.([]byte), nil
	}
	b, err := d.CachedSVG(o, c)
	if err != nil {
		return nil, err
	}
	c.Put(key, b, len(b))
	return b, nil
}

// Cacheable is a picture that can be kept.
type Cacheable interface {
	WriteKey(*KeyWriter)
	KeySize() int // about how much writeKey writes
	CachedSVG(Options, *Cache) ([]byte, error)
}

func (c *Cache) Get(key CacheKey) (any, bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	e, ok := c.kept[key]
	if !ok {
		return nil, false
	}
	c.order.MoveToFront(e)
	return e.Value.(*cacheEntry).value, true
}

func (c *Cache) Put(key CacheKey, value any, size int) {
	size += entryOverhead
	c.mu.Lock()
	defer c.mu.Unlock()
	if _, ok := c.kept[key]; ok || size > c.max {
		return
	}
	c.kept[key] = c.order.PushFront(&cacheEntry{key, value, size})
	c.bytes += size
	for c.bytes > c.max {
		last := c.order.Back()
		e := c.order.Remove(last).(*cacheEntry)
		delete(c.kept, e.key)
		c.bytes -= e.size
	}
}

// A KeyWriter collects what a key depends on. Every part is written with its
// length, so that neighbouring parts cannot run together.
type KeyWriter struct{ b []byte }

func (k *KeyWriter) Text(ss ...string) {
	for _, s := range ss {
		k.Count(len(s))
		k.b = append(k.b, s...)
	}
}

func (k *KeyWriter) Number(vs ...float64) {
	for _, v := range vs {
		k.b = binary.LittleEndian.AppendUint64(k.b, math.Float64bits(v))
	}
}

func (k *KeyWriter) Numbers(vs []float64) {
	k.Count(len(vs))
	k.Number(vs...)
}

func (k *KeyWriter) Count(n int) { k.b = binary.LittleEndian.AppendUint32(k.b, uint32(n)) }

func (k *KeyWriter) Flag(f bool) {
	if f {
		k.b = append(k.b, 1)
		return
	}
	k.b = append(k.b, 0)
}

func (k *KeyWriter) Sum() CacheKey { return sha256.Sum256(k.b) }
