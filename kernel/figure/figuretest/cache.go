package figuretest

import (
	"bytes"
	"sync"
	"testing"

	"shaftbook/kernel/figure"
)

func cached(t *testing.T, cases []Case) {
	c := figure.NewCache(64 << 10)
	var wg sync.WaitGroup
	for _, g := range cases {
		wg.Add(1)
		go func() {
			defer wg.Done()
			o := figure.Options{ID: g.Name}
			want, err := g.Picture().SVG(o)
			if err != nil {
				t.Error(err)
				return
			}
			for range 3 {
				got, err := c.SVG(g.Picture(), o)
				if err != nil || !bytes.Equal(got, want) {
					t.Errorf("%s: the kept figure differs (error %v)", g.Name, err)
				}
			}
		}()
	}
	wg.Wait()
}
