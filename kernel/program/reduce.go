package program

import (
	"math"
	"runtime"
	"sync"
	"sync/atomic"
)

// largestBound is how far from zero the variable of a sum may lie; below it
// i + 1/2 and the like are exact.
const largestBound = 1_000_000_000_000

// A partial is the sum or product of a chunk of terms: m·2^e.
type partial struct {
	m float64
	e int
}

// reduce adds or multiplies n terms of a body, for the whole numbers from first
// on. Chunks may run on several cores; they are combined in order.
func (p *Program) reduce(run *Run, caps []float64, first, n int64, product bool, resolve resolver) (float64, error) {
	if n <= 0 {
		return truth(product), nil
	}
	if err := run.afford(n, p.laneCost); err != nil {
		return 0, err
	}
	chunks := (n + chunkTerms - 1) / chunkTerms
	if workers := run.workers(chunks); workers > 1 {
		return p.reduceParallel(run, caps, first, n, product, resolve, workers)
	}
	f := p.take()
	defer p.give(f)
	if err := p.setOnce(run, f, caps); err != nil {
		return 0, err
	}
	total := newTotal(product)
	for c := range chunks {
		part, err := p.chunk(run, f, first+c*chunkTerms, min(chunkTerms, n-c*chunkTerms), product, resolve)
		if err != nil {
			return 0, err
		}
		total.add(part)
		if c%16 == 0 {
			run.report(float64(c)/float64(chunks), formWord(product))
		}
	}
	return total.value(), nil
}

// workers returns how many goroutines are worth starting. An evaluation that gives
// way to others has one processor at most; the others keep the rest busy.
func (r *Run) workers(chunks int64) int {
	const worth = 16 // chunks a goroutine; 65 536 terms
	if chunks < 2*worth || r.point != nil {
		return 1
	}
	cores := r.cores
	if cores == 0 {
		cores = runtime.GOMAXPROCS(0)
	}
	return int(min(int64(cores), chunks/worth))
}

func formWord(product bool) string {
	if product {
		return "product"
	}
	return "sum"
}

// reduceParallel hands chunks out in order to goroutines. The first chunk that
// fails decides the error, whichever goroutine was faster.
func (p *Program) reduceParallel(run *Run, caps []float64, first, n int64, product bool, resolve resolver, workers int) (float64, error) {
	chunks := (n + chunkTerms - 1) / chunkTerms
	bytes := 16*chunks + int64(workers)*p.frameBytes()
	if err := run.reserve(bytes); err != nil {
		return 0, err
	}
	defer run.release(bytes)
	parts := make([]partial, chunks)
	var (
		next    atomic.Int64
		mu      sync.Mutex // guards failed, err and the resolver
		failed  atomic.Int64
		failure error
		group   sync.WaitGroup
	)
	failed.Store(chunks)
	fail := func(chunk int64, err error) {
		mu.Lock()
		defer mu.Unlock()
		if chunk < failed.Load() {
			failed.Store(chunk)
			failure = err
		}
	}
	if walk := resolve; walk != nil {
		var one sync.Mutex // the walker serves one goroutine at a time
		resolve = func(x float64) (float64, error) {
			one.Lock()
			defer one.Unlock()
			return walk(x)
		}
	}
	work := func(reports bool) {
		f := p.take()
		defer p.give(f)
		if err := p.setOnce(run, f, caps); err != nil {
			fail(0, err)
			return
		}
		for own := 0; ; own++ {
			c := next.Add(1) - 1
			if c >= failed.Load() {
				return
			}
			part, err := p.chunk(run, f, first+c*chunkTerms, min(chunkTerms, n-c*chunkTerms), product, resolve)
			if err != nil {
				fail(c, err)
				return
			}
			parts[c] = part
			if reports && own%16 == 0 {
				run.report(float64(c)/float64(chunks), formWord(product))
			}
		}
	}
	for range workers - 1 {
		group.Add(1)
		go func() {
			defer group.Done()
			work(false)
		}()
	}
	work(true)
	group.Wait()
	if failure != nil {
		return 0, failure
	}
	total := newTotal(product)
	for _, part := range parts {
		total.add(part)
	}
	return total.value(), nil
}

// chunk adds or multiplies up to chunkTerms terms.
func (p *Program) chunk(run *Run, f *frame, first, n int64, product bool, resolve resolver) (partial, error) {
	if err := run.spend(n, p.laneCost); err != nil {
		return partial{}, err
	}
	size := int64(blockLanes)
	if run.block > 0 {
		size = int64(run.block)
	}
	var sums [laneGroup]float64
	var products [laneGroup]partial
	if product {
		for j := range products {
			products[j].m = 1
		}
	}
	for k := int64(0); k < n; k += size {
		m := int(min(size, n-k))
		start := float64(first + k)
		sound, err := p.block(run, f, start, m)
		if err != nil {
			return partial{}, err
		}
		terms := p.lanes(f, m)
		before := sums
		if !product {
			accumulate(&sums, terms, int(k))
			sound = sound && finite(combine(&sums))
		}
		if !sound || product && !allFinite(terms) {
			err := p.resolveLanes(run, f, m, func(j int) float64 { return start + float64(j) }, resolve, terms)
			if err != nil {
				return partial{}, err
			}
			if !product {
				sums = before
				accumulate(&sums, terms, int(k))
			}
		}
		if product {
			for j, t := range terms {
				products[(int(k)+j)%laneGroup].multiply(t)
			}
		}
	}
	if !product {
		return partial{m: combine(&sums)}, nil
	}
	return combineProducts(&products), nil
}

// multiply keeps the significand between ½ and 1 and the exponent apart; both
// are exact, so the product is that of unbounded exponents.
func (q *partial) multiply(x float64) {
	m, e := math.Frexp(x)
	r, e2 := math.Frexp(q.m * m)
	q.m, q.e = r, q.e+e+e2
}

func (q *partial) times(o partial) {
	q.multiply(o.m)
	q.e += o.e
}

func combineProducts(q *[laneGroup]partial) partial {
	for _, pair := range [...][2]int{{0, 4}, {2, 6}, {1, 5}, {3, 7}, {0, 2}, {1, 3}, {0, 1}} {
		q[pair[0]].times(q[pair[1]])
	}
	return q[0]
}

// A total combines chunks in order: sums with Neumaier's compensation (A.
// Neumaier, Rundungsfehleranalyse einiger Verfahren zur Summation endlicher
// Summen, ZAMM 54 (1974) 39–51).
type total struct {
	product  bool
	sum      float64
	carry    float64
	products partial
}

func newTotal(product bool) total { return total{product: product, products: partial{m: 1}} }

func (t *total) add(q partial) {
	if t.product {
		t.products.times(q)
		return
	}
	s := t.sum + q.m
	if math.Abs(t.sum) >= math.Abs(q.m) {
		t.carry += (t.sum - s) + q.m
	} else {
		t.carry += (q.m - s) + t.sum
	}
	t.sum = s
}

func (t *total) value() float64 {
	if t.product {
		return math.Ldexp(t.products.m, t.products.e)
	}
	if !finite(t.sum) {
		return t.sum // an overflow makes the compensation NaN
	}
	return t.sum + t.carry
}
