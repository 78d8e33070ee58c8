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
	kept  map[cacheKey]*list.Element
}

type cacheKey [sha256.Size]byte

type cacheEntry struct {
	key   cacheKey
	value any
	size  int
}

// entryOverhead is what an entry costs beside its markup, roughly.
const entryOverhead = 256

// NewCache returns a cache that holds at most maxBytes of markup.
func NewCache(maxBytes int) *Cache {
	return &Cache{max: maxBytes, order: list.New(), kept: make(map[cacheKey]*list.Element)}
}

// SVG returns what p.SVG(o) returns, drawing as little as it can. The caller
// must not change the bytes.
func (c *Cache) SVG(p Picture, o Options) ([]byte, error) {
	d, ok := p.(keyed)
	if !ok {
		return p.SVG(o)
	}
	k := keyWriter{make([]byte, 0, d.keySize())}
	k.text(o.id())
	k.number(o.width())
	d.writeKey(&k)
	key := k.sum()
	if v, ok := c.get(key); ok {
		return v.([]byte), nil
	}
	b, err := d.svg(o, c)
	if err != nil {
		return nil, err
	}
	c.put(key, b, len(b))
	return b, nil
}

// keyed is a picture that can be kept.
type keyed interface {
	writeKey(*keyWriter)
	keySize() int // about how much writeKey writes
	svg(Options, *Cache) ([]byte, error)
}

func (c *Cache) get(key cacheKey) (any, bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	e, ok := c.kept[key]
	if !ok {
		return nil, false
	}
	c.order.MoveToFront(e)
	return e.Value.(*cacheEntry).value, true
}

func (c *Cache) put(key cacheKey, value any, size int) {
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

// A keyWriter collects what a key depends on. Every part is written with its
// length, so that neighbouring parts cannot run together.
type keyWriter struct{ b []byte }

func (k *keyWriter) text(ss ...string) {
	for _, s := range ss {
		k.count(len(s))
		k.b = append(k.b, s...)
	}
}

func (k *keyWriter) number(vs ...float64) {
	for _, v := range vs {
		k.b = binary.LittleEndian.AppendUint64(k.b, math.Float64bits(v))
	}
}

func (k *keyWriter) numbers(vs []float64) {
	k.count(len(vs))
	k.number(vs...)
}

func (k *keyWriter) count(n int) { k.b = binary.LittleEndian.AppendUint32(k.b, uint32(n)) }

func (k *keyWriter) flag(f bool) {
	if f {
		k.b = append(k.b, 1)
		return
	}
	k.b = append(k.b, 0)
}

func (k *keyWriter) sum() cacheKey { return sha256.Sum256(k.b) }

func (a *Axis) writeKey(k *keyWriter) {
	k.text(a.Label, a.Unit)
	k.flag(a.Log)
	k.number(a.Min, a.Max)
}

func (p *Plot) keySize() int {
	n := 512
	for i := range p.Curves {
		n += 64 + 16*len(p.Curves[i].X)
	}
	return n
}

func (p *Plot) writeKey(k *keyWriter) {
	k.text("plot", p.Heading, p.Finding)
	p.X.writeKey(k)
	p.Y.writeKey(k)
	k.count(len(p.Curves))
	for i := range p.Curves {
		c := &p.Curves[i]
		k.text(c.Label)
		k.flag(c.Points)
		k.numbers(c.X)
		k.numbers(c.Y)
	}
	k.count(len(p.Marks))
	for _, m := range p.Marks {
		k.count(int(m.Way))
		k.number(m.Low, m.High)
		k.text(m.Label)
	}
}

// frameKey is the key of everything that the frame of a plot depends on.
func (p *Plot) frameKey(l *plotPlan) cacheKey {
	var k keyWriter
	k.text("frame", p.X.Label, p.X.Unit, p.Y.Label, p.Y.Unit)
	k.flag(p.X.Log)
	k.flag(p.Y.Log)
	k.number(l.width, l.height, l.top, l.right, l.x.min, l.x.max, l.y.min, l.y.max)
	return k.sum()
}
