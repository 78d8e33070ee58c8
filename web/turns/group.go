package turns

import "container/heap"

// A member is one person or browser with its waiting calculations. A share is a
// member with members of its own.
type member struct {
	key     string
	parent  *member
	members group // of a share

	used    int64 // work, as far as it counts
	busy    int   // calculations that have begun and not finished
	waiting int   // and those of them that wait for a turn
	place   int   // among those that wait; -1 if nothing does

	tasks []*calculation // that wait, of one that is not a share
	turns int64
}

// A group shares turns out among its members by what they have used.
type group struct {
	parent  *member
	all     map[string]*member
	heap    waiters
	waiting int   // calculations of all members that wait
	busy    int   // members with calculations
	least   int64 // what every member with calculations has used
}

func newGroup() group { return group{all: map[string]*member{}} }

// get returns the member of a key.
func (g *group) get(key string) *member {
	m, ok := g.all[key]
	if !ok {
		m = &member{key: key, parent: g.parent, place: -1, used: g.least - credit}
		m.members = newGroup()
		m.members.parent = m
		g.all[key] = m
	}
	return m
}

// begin notes a calculation of a member; least is what each of those has used that
// calculate or wait, if any does. A member that was idle has a few turns less at most.
func (g *group) begin(m *member, least int64, ok bool) {
	if m.busy == 0 {
		if ok {
			g.least = max(g.least, least)
		}
		m.used = max(m.used, g.least-credit)
		g.busy++
	}
	m.busy++
}

// end notes that a calculation of a member has finished. A member that owes nothing
// is forgotten, and all of them when nothing is left to share out.
func (g *group) end(m *member) {
	m.busy--
	if m.busy > 0 {
		return
	}
	if g.busy--; g.busy == 0 {
		clear(g.all)
		g.least = 0
		return
	}
	if m.used <= g.least-credit {
		delete(g.all, m.key)
	}
	if len(g.all) > 2*g.busy+mostIdle {
		g.forget()
	}
}

// mostIdle is how many members are remembered beside those with calculations before
// a look at which of them can be forgotten.
const mostIdle = 256

// forget drops the idle members that owe nothing any more, or all of them if there
// are many that do.
func (g *group) forget() {
	for _, strict := range []bool{true, false} {
		for key, m := range g.all {
			if m.busy == 0 && (!strict || m.used <= g.least-credit) {
				delete(g.all, key)
			}
		}
		if len(g.all) <= 2*g.busy+mostIdle {
			return
		}
	}
}

// wait notes that n more calculations of a member wait.
func (g *group) wait(m *member, n int) {
	g.waiting += n
	m.waiting += n
	switch {
	case m.waiting > 0 && m.place < 0:
		heap.Push(&g.heap, m)
	case m.waiting == 0 && m.place >= 0:
		heap.Remove(&g.heap, m.place)
	}
}

// next returns the waiting member that has used least.
func (g *group) next() *member { return g.heap[0] }

// use books work on a member.
func (g *group) use(m *member, work int64) {
	m.used += work
	if m.place >= 0 {
		heap.Fix(&g.heap, m.place)
	}
}

// waiters are the members of which something waits, in the order of what they have
// used, and of equal ones by their keys.
type waiters []*member

func (w waiters) Len() int { return len(w) }
func (w waiters) Less(i, j int) bool {
	if w[i].used != w[j].used {
		return w[i].used < w[j].used
	}
	return w[i].key < w[j].key
}
func (w waiters) Swap(i, j int) {
	w[i], w[j] = w[j], w[i]
	w[i].place, w[j].place = i, j
}

// Push implements heap.Interface.
func (w *waiters) Push(x any) {
	m := x.(*member)
	m.place = len(*w)
	*w = append(*w, m)
}

// Pop implements heap.Interface.
func (w *waiters) Pop() any {
	old := *w
	m := old[len(old)-1]
	old[len(old)-1] = nil
	*w = old[:len(old)-1]
	m.place = -1
	return m
}
