package live

import (
	"fmt"
	"net/http"
	"testing"
	"time"
)

// classRig is a rig on which everybody is signed in as the same person.
func classRig(t *testing.T) *rig {
	r := newRig(t)
	r.hub.config.Holder = func(*http.Request) Holder { return Holder{Person: "P"} }
	r.hub.herePeriod = time.Hour // the next turn is the test's to give
	return r
}

func (r *rig) wantKept(want string) {
	r.t.Helper()
	if got := <-r.kept; got != want {
		r.t.Errorf("kept %q, want %q", got, want)
	}
}

func TestHereIsKept(t *testing.T) {
	r := classRig(t)
	c := r.open()
	c.send(`{"type":"here","revision":2,"place":"c1"}`)
	r.wantKept("P uniform c1")
}

func TestHereKeepsTheLatestOfThoseThatWait(t *testing.T) {
	r := classRig(t)
	first, second := r.open(), r.open()
	first.send(`{"type":"here","revision":2,"place":"c1"}`)
	r.wantKept("P uniform c1")
	for i, place := range []string{"c2", "c1", "a-heading"} {
		second.send(fmt.Sprintf(`{"type":"here","revision":%d,"place":%q}`, i+2, place))
	}
	second.send(`{"type":"edit","revision":9,"cell":"c1","text":"T = 9 N·m"}`)
	second.want("row") // so the places before it are taken in
	select {
	case got := <-r.kept:
		t.Errorf("%q was kept at once, want one place in %v a person, whichever window it is from", got, r.hub.herePeriod)
	default:
	}
	r.hub.rest("P")
	r.wakeAll()
	r.wantKept("P uniform a-heading")
}

func TestHereIsKeptAgainByTheWindowThatMovedLast(t *testing.T) {
	r := classRig(t)
	first, second := r.open(), r.open()
	first.send(`{"type":"here","revision":2,"place":"c1"}`)
	r.wantKept("P uniform c1")
	r.hub.rest("P")
	second.send(`{"type":"here","revision":2,"place":"c2"}`)
	r.wantKept("P uniform c2")
	r.hub.rest("P")
	for _, s := range r.sessions() { // as a ping does
		s.stillThere()
	}
	r.wantKept("P uniform c2")
	select {
	case got := <-r.kept:
		t.Errorf("%q was kept too", got)
	default:
	}
}

func TestNobodyLooks(t *testing.T) {
	r := classRig(t)
	c := r.open()
	c.send(`{"type":"here","revision":2,"place":"c1"}`)
	r.wantKept("P uniform c1")
	c.send(`{"type":"here","revision":3,"place":""}`)
	c.send(`{"type":"edit","revision":9,"cell":"c1","text":"T = 9 N·m"}`)
	c.want("row")
	r.hub.rest("P")
	for _, s := range r.sessions() {
		s.stillThere()
		if s.soon != nil {
			t.Error("the place of a page that nobody looks at is kept again")
		}
	}
}

func TestHereRefusals(t *testing.T) {
	r := classRig(t)
	c := r.open()
	c.send(`{"type":"here","revision":2,"place":"nowhere"}`)
	if a := c.want("problem"); a.Problem.Type != "/problem/unknown-place" {
		t.Errorf("problem %+v, want unknown-place", a.Problem)
	}
}

func TestAnOpenServerKeepsNoPlace(t *testing.T) {
	r := newRig(t)
	c := r.open()
	c.send(`{"type":"here","revision":2,"place":"c1"}`)
	c.send(`{"type":"edit","revision":3,"cell":"c1","text":"T = 9 N·m"}`)
	c.want("row")
	for _, s := range r.sessions() {
		if s.place != "" || s.soon != nil {
			t.Error("an open server noted where a reader is")
		}
	}
}

// rest lets a person's turn come at once.
func (h *Hub) rest(person string) {
	h.mu.Lock()
	defer h.mu.Unlock()
	last := h.seen[person]
	last.at = last.at.Add(-h.herePeriod)
	h.seen[person] = last
}

// wakeAll ends the waiting of all sessions.
func (r *rig) wakeAll() {
	for _, s := range r.sessions() {
		s.mu.Lock()
		if s.soon != nil {
			s.soon.Reset(0)
		}
		s.mu.Unlock()
	}
}

func (r *rig) sessions() []*session {
	r.hub.mu.Lock()
	defer r.hub.mu.Unlock()
	var list []*session
	for s := range r.hub.sessions {
		list = append(list, s)
	}
	return list
}
