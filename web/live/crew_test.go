package live

import (
	"sync"
	"testing"
)

// TestCrew runs functions that wait for each other, so that each needs a goroutine, and
// again on those that are kept.
func TestCrew(t *testing.T) {
	c := newCrew()
	const together = 3 * mostIdle
	for range 3 {
		var all, each sync.WaitGroup
		all.Add(together)
		for range together {
			each.Add(1)
			c.run(func() {
				defer each.Done()
				all.Done()
				all.Wait() // for functions that have not begun yet
			})
		}
		each.Wait()
	}
	c.end()
	done := make(chan struct{})
	c.run(func() { close(done) })
	<-done
}
