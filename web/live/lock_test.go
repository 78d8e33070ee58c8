package live

import (
	"context"
	"net/http"
	"testing"

	"github.com/gorilla/websocket"
)

// wantFree reports an error if a lock of the hub or of a session is held for as
// long as a read of the store takes: whatever else wants the lock would wait for
// the store.
func (r *rig) wantFree(ctx context.Context, read string) {
	free := make(chan struct{})
	go func() {
		defer close(free)
		r.hub.mu.Lock()
		open := make([]*session, 0, len(r.hub.sessions))
		for s := range r.hub.sessions {
			open = append(open, s)
		}
		r.hub.mu.Unlock()
		for _, s := range open {
			s.mu.Lock()
			_ = s.lesson
			s.mu.Unlock()
		}
	}()
	select {
	case <-free:
	case <-ctx.Done(): // the read gives up; with the lock free it never comes to this
		r.t.Errorf("a lock is held while the store is read for %s", read)
	}
}

// The store is slow or gone at times; then a page waits for what it asked for,
// and nothing else does.
func TestNoLockIsHeldWhileTheStoreIsRead(t *testing.T) {
	r := classRig(t)
	lesson, here, still := r.hub.config.Lesson, r.hub.config.Here, make(chan struct{}, 10)
	r.hub.config.Holder = func(*http.Request) Holder { return Holder{Person: "P", Session: "s"} }
	r.hub.config.Lesson = func(ctx context.Context, who Holder, name string) (Lesson, error) {
		r.wantFree(ctx, "opening a lesson")
		return lesson(ctx, who, name)
	}
	r.hub.config.Here = func(ctx context.Context, who Holder, name, place string) error {
		r.wantFree(ctx, "keeping a place")
		return here(ctx, who, name, place)
	}
	r.hub.config.Still = func(ctx context.Context, _ Holder, _ string) bool {
		r.wantFree(ctx, "asking whether a person is still signed in")
		still <- struct{}{}
		return false
	}
	c := r.open()
	c.send(`{"type":"edit","revision":2,"cell":"c1","text":"T = 9 N·m"}`)
	c.want("row")
	c.send(`{"type":"here","revision":3,"place":"c1"}`)
	r.wantKept("P uniform c1")
	r.hub.Recheck("P")
	<-still
	c.wantClosed(websocket.ClosePolicyViolation)
}
