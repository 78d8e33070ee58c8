package derive

import (
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"hash"
	"io"
	"maps"
	"slices"
	"sync/atomic"

	"shaftbook/kernel/lru"
	"shaftbook/kernel/notation"
)

// A Memory keeps what was found about steps, so that of a derivation that is
// edited only those steps are judged again that depend on the edit. A step
// depends on its two lines, on the givens, and on the definitions that its lines
// use; the words about a mistake also on the other definitions and on what the
// integrals of the derivation run over. A verdict from memory is the one that
// judging would give.
//
// A Memory is safe for concurrent use.
type Memory struct {
	found  *lru.Cache[memoryKey, remembered]
	judged atomic.Int64
}

type memoryKey [sha256.Size]byte

// A remembered verdict does without place and number of its step.
type remembered struct {
	verdict Verdict
	work    int  // nodes that judging evaluated
	words   bool // it fails, and depends on what its words look at
}

// NewMemory returns a Memory of so many steps.
func NewMemory(steps int) *Memory {
	return &Memory{found: lru.New[memoryKey, remembered](steps)}
}

// Judged returns how many steps were judged for want of a verdict in memory.
func (m *Memory) Judged() int { return int(m.judged.Load()) }

// compare fills the verdict on b, claimed to equal a, or to be what the step says
// of it.
func (j *judge) compare(v *Verdict, a, b *statement, step *notation.DeriveStep) {
	memory := j.settings.Memory
	if memory == nil || j.quiet {
		j.decide(v, a, b, step)
		return
	}
	key := j.keyOf(a, b, step)
	found, known := memory.found.Get(key)
	if known && found.words {
		found, known = memory.found.Get(j.keyOfWords(key))
	}
	if known && found.work <= j.eval.whole && j.ctx.Err() == nil {
		j.eval.whole -= found.work
		place := *v
		*v = found.verdict
		v.Span, v.Line, v.Step, v.OwnLeft = place.Span, place.Line, place.Step, place.OwnLeft
		return
	}
	memory.judged.Add(1)
	before := j.eval.whole
	j.decide(v, a, b, step)
	if j.ctx.Err() != nil || j.eval.whole < 0 {
		return // not what it would be with more time or work
	}
	found = remembered{verdict: *v, work: before - j.eval.whole}
	if v.Kind == Fails {
		memory.found.Add(key, remembered{words: true})
		key = j.keyOfWords(key)
	}
	memory.found.Add(key, found)
}

// keyOf sums up what the verdict on a step depends on.
func (j *judge) keyOf(a, b *statement, step *notation.DeriveStep) (key memoryKey) {
	h := sha256.New()
	seen := map[string]bool{}
	for _, s := range []*statement{a, b} {
		for _, e := range []notation.Expr{s.expr, s.part, s.full} {
			writeKey(h, notation.Print(e))
			j.keyOfNames(h, e, seen)
		}
		writeKey(h, s.typ.Dim.String(), s.typ.Zero)
	}
	if step != nil {
		writeKey(h, notation.Print(step))
	}
	for _, v := range j.scope.vars {
		writeKey(h, v.name.Ident, v.dim.String(), v.whole, v.counts)
		if v.unit != nil {
			writeKey(h, v.unit.Text, v.unit.Factor)
		}
	}
	for _, c := range j.scope.domain {
		writeKey(h, notation.Print(c))
	}
	for _, u := range j.settings.Prefer {
		writeKey(h, u.Text)
	}
	h.Sum(key[:0])
	return key
}

// keyOfNames writes what the defined names in e mean.
func (j *judge) keyOfNames(h hash.Hash, e notation.Expr, seen map[string]bool) {
	for _, n := range notation.FreeNames(e) {
		if seen[n.Ident] {
			continue
		}
		seen[n.Ident] = true
		if value, ok := j.scope.values[n.Ident]; ok {
			writeKey(h, n.Ident, notation.Print(value))
		}
		if f, ok := j.scope.functions[n.Ident]; ok {
			writeKey(h, n.Ident, f.params, notation.Print(f.body))
		}
	}
}

// keyOfWords adds what the words about a mistake look at.
func (j *judge) keyOfWords(key memoryKey) memoryKey {
	h := sha256.New()
	h.Write(key[:])
	writeKey(h, j.scope.order, j.defining)
	for _, ident := range slices.Sorted(maps.Keys(j.scope.values)) {
		writeKey(h, ident, notation.Print(j.scope.values[ident]))
	}
	for _, ident := range slices.Sorted(maps.Keys(j.scope.functions)) {
		writeKey(h, ident, j.scope.functions[ident].params, notation.Print(j.scope.functions[ident].body))
	}
	for _, list := range [][]notation.Expr{j.slopes(), j.ends()} {
		for _, e := range list {
			writeKey(h, notation.Print(e))
		}
	}
	h.Sum(key[:0])
	return key
}

// writeKey writes parts so that no two lists of parts write the same.
func writeKey(h io.Writer, parts ...any) {
	for _, p := range parts {
		text := fmt.Sprint(p)
		h.Write(binary.AppendUvarint(nil, uint64(len(text))))
		io.WriteString(h, text)
	}
}
