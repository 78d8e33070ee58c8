package compress

import (
	"bytes"
	"compress/flate"
	"crypto/sha256"
	"encoding/binary"
	"hash/crc32"
	"sync"
)

// A Piece is a part of bodies that are put together for one reader each. It is deflated
// once, however many bodies it goes into. It is safe for use by many requests.
type Piece struct {
	plain    []byte
	sum      [sha256.Size]byte
	once     sync.Once
	deflated []byte
}

// NewPiece takes over body; the caller must not change it afterwards.
func NewPiece(body []byte) *Piece { return &Piece{plain: body, sum: sha256.Sum256(body)} }

// Prepare begins to deflate a piece that will be asked for, and returns at once.
func (p *Piece) Prepare() *Piece {
	go p.deflate()
	return p
}

// Joined returns the body that pieces make one after the other. It is sent in the form
// that is made fastest, as that of NewForOne; only what no other body has is compressed
// for it.
func Joined(contentType string, pieces ...*Piece) *Bytes {
	sums := sha256.New()
	length := 0
	for _, p := range pieces {
		sums.Write(p.sum[:])
		length += len(p.plain)
	}
	b := &Bytes{contentType: contentType, forOne: true, pieces: pieces, length: length}
	b.tag = tagOf(sums.Sum(nil))
	return b
}

// writers are used again: each has close to a megabyte of tables.
var writers = sync.Pool{New: func() any {
	w, err := flate.NewWriter(nil, flate.DefaultCompression)
	if err != nil {
		panic(err) // the level is one that there is
	}
	return w
}}

// deflate returns the piece as deflated blocks that end at a byte, none of which is the
// last of a stream and none of which reaches back before the piece, so that pieces can
// stand one after the other.
func (p *Piece) deflate() []byte {
	p.once.Do(func() {
		if len(p.plain) == 0 {
			return
		}
		var out bytes.Buffer
		w := writers.Get().(*flate.Writer)
		defer writers.Put(w)
		w.Reset(&out)
		_, _ = w.Write(p.plain) // a bytes.Buffer does not fail
		_ = w.Flush()
		p.deflated = out.Bytes()
	})
	return p.deflated
}

// The frame of a gzip file with one member without a name and without a time.
//
// Source: RFC 1952, section 2.3; the last block of the stream is an empty one with fixed
// codes: RFC 1951, section 3.2.3.
var (
	gzipHead  = []byte{0x1f, 0x8b, 8, 0, 0, 0, 0, 0, 0, 255}
	lastBlock = []byte{0x03, 0x00}
)

// joinGzip returns pieces as one gzip file.
func joinGzip(pieces []*Piece) []byte {
	size := len(gzipHead) + len(lastBlock) + 8
	for _, p := range pieces {
		size += len(p.deflate())
	}
	out := append(make([]byte, 0, size), gzipHead...)
	sum, length := uint32(0), 0
	for _, p := range pieces {
		out = append(out, p.deflate()...)
		sum = crc32.Update(sum, crc32.IEEETable, p.plain)
		length += len(p.plain)
	}
	out = append(out, lastBlock...)
	out = binary.LittleEndian.AppendUint32(out, sum)
	return binary.LittleEndian.AppendUint32(out, uint32(length)) // modulo 2³², as the format has it
}

// joinPlain returns the bytes of pieces.
func joinPlain(pieces []*Piece, length int) []byte {
	out := make([]byte, 0, length)
	for _, p := range pieces {
		out = append(out, p.plain...)
	}
	return out
}
