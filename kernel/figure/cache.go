package figure

import (
	"encoding/binary"
	"hash/maphash"
	"math"
	"slices"
	"sync"

	"shaftbook/kernel/lru"
)

// A Cache keeps figures that were drawn, keyed by everything that goes into
// them, and the frames of plots, so that a slider step that only moves points
// does not draw the axes again. It is safe for concurrent use. The zero Cache
// keeps nothing.
type Cache struct{ drawn *lru.Cache[CacheKey, drawing] }

// A CacheKey stands for all that goes into a figure: 128 bits under seeds that nobody
// knows, so that no two figures share one, not even two that were written to. It holds in
// this process only.
type CacheKey [2]uint64

var seeds = [2]maphash.Seed{maphash.MakeSeed(), maphash.MakeSeed()}

// A drawing is a figure's SVG or the frame of a plot, with its size in bytes.
type drawing struct {
	value any
	size  int
}

// entryOverhead is roughly the size of an entry beside its markup, in bytes.
const entryOverhead = 256

// NewCache returns a cache that holds at most maxBytes of markup.
func NewCache(maxBytes int) *Cache {
	return &Cache{lru.NewOfCost[CacheKey](maxBytes, func(d drawing) int { return d.size + entryOverhead })}
}

// SVG returns what p.SVG(o) returns, drawing as little as it can. The caller
// must not change the bytes.
func (c *Cache) SVG(p Picture, o Options) ([]byte, error) {
	d, ok := p.(Cacheable)
	if !ok {
		return p.SVG(o)
	}
	key := keyOf(d, o)
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

// keyWriters are kept between figures: a key is larger than most figures.
var keyWriters = sync.Pool{New: func() any { return new(KeyWriter) }}

func keyOf(d Cacheable, o Options) CacheKey {
	k := keyWriters.Get().(*KeyWriter)
	defer keyWriters.Put(k)
	k.b = slices.Grow(k.b[:0], d.KeySize())
	k.Text(o.IDPrefix())
	k.Number(o.LayoutWidth())
	k.Flag(o.Paper)
	k.Count(int(o.Part))
	d.WriteKey(k)
	return k.Sum()
}

// Cacheable is a picture that can be kept.
type Cacheable interface {
	WriteKey(*KeyWriter)
	KeySize() int // about how much writeKey writes
	CachedSVG(Options, *Cache) ([]byte, error)
}

func (c *Cache) Get(key CacheKey) (any, bool) {
	if c.drawn == nil {
		return nil, false
	}
	d, ok := c.drawn.Get(key)
	return d.value, ok
}

// Stats returns how the cache is used.
func (c *Cache) Stats() lru.Stats {
	if c.drawn == nil {
		return lru.Stats{}
	}
	return c.drawn.Stats()
}

func (c *Cache) Put(key CacheKey, value any, size int) {
	if c.drawn != nil {
		c.drawn.Add(key, drawing{value, size})
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

func (k *KeyWriter) Sum() CacheKey {
	return CacheKey{maphash.Bytes(seeds[0], k.b), maphash.Bytes(seeds[1], k.b)}
}
