package deploy

import (
	"context"
	"flag"
	"fmt"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"text/tabwriter"
	"time"

	"github.com/gorilla/websocket"

	"shaftbook/exercises/store/contract"
	"shaftbook/exercises/store/open"
	"shaftbook/exercises/store/postgres/pgtest"
	"shaftbook/web/account/password"
	"shaftbook/web/classroom"
)

var (
	full   = flag.Bool("full", false, "run the long form: 300 learners, each server killed, and a pause between the failures")
	people = flag.Int("learners", 0, "how many learners (0: 300 in the long form, 12 in the short)")
)

// bar is within which learners go on.
const bar = 5 * time.Second

// TestThreeServers has a class at work at three servers behind a proxy, and lets the
// servers and the database fail. Every answer that was acknowledged must be kept once
// and no other; every learner must go on with what was typed. How long that takes is
// measured and printed; only the long form compares it with the bar, in its table.
func TestThreeServers(t *testing.T) {
	if testing.Short() {
		t.Skip("starts PostgreSQL, HAProxy and three servers")
	}
	r := begin(t)
	r.wrongPasswords()
	pause := func() {}
	if *full {
		pause = func() { time.Sleep(5 * time.Second) } // under load
	}
	ctx, stop := context.WithCancel(t.Context())
	var working, following sync.WaitGroup
	live, leave := context.WithCancel(t.Context())
	defer leave()
	for _, l := range r.learners {
		l.open()
		following.Go(func() { l.follow(live) })
		working.Go(func() { l.edit(ctx) })
		working.Go(func() { l.answer(ctx, r.answerPace) })
	}
	following.Go(func() { r.room.follow(live) })
	r.event("they begin", func() {})
	for i := range r.servers {
		if i > 0 && !*full {
			break
		}
		pause()
		r.event(fmt.Sprintf("server %d killed (kill -9)", i+1), r.servers[i].kill)
		r.servers[i].run(t)
	}
	pause()
	r.event("connections of the database cut", func() { r.database.Cut(t) })
	pause()
	r.event("database restarted", func() { r.database.Stop(); r.database.Run(t) })
	if *full {
		pause()
		r.event("database crashes and recovers", func() { r.database.Crash(); r.database.Run(t) })
	}
	pause()
	r.event("database fails, its standby takes over", func() { r.database.Crash(); r.standby.Promote(t) })
	pause()
	stop()
	working.Wait()
	leave()
	following.Wait()
	r.check()
}

// A run is a class at work, and what was measured.
type run struct {
	t                 *testing.T
	store             contract.Store
	database, standby *pgtest.Server
	servers           []*server
	origin            string
	learners          []*learner
	answerPace        time.Duration
	room              *room
	rows              []row
}

// A row is what one failure did.
type row struct {
	what     string
	cut      int             // learners whose live connection broke
	wentOn   []time.Duration // of each learner, ascending
	room     time.Duration
	answered int // in all, by then
}

func begin(t *testing.T) *run {
	r := &run{t: t, answerPace: 400 * time.Millisecond}
	learners, editPace := 12, 700*time.Millisecond
	if *full {
		learners, editPace, r.answerPace = 300, time.Second, 5*time.Second
	}
	if *people > 0 {
		learners = *people
	}
	r.database = pgtest.Start(t)
	dsn := r.database.Database(t)
	r.standby = r.database.Standby(t)
	dsn = pgtest.Address(dsn, r.standby)
	var err error
	if r.store, err = open.Store(t.Context(), dsn); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { r.store.Close() })
	encoded, err := password.NewHasher().Hash(t.Context(), secret)
	if err != nil {
		t.Fatal(err)
	}
	var staff string
	r.learners, staff = fill(t, r.store, learners, encoded)
	r.startServers(dsn)
	for _, l := range r.learners {
		l.begin(r.origin, editPace, t.Errorf)
	}
	r.room = &room{origin: r.origin, token: staff}
	return r
}

// startServers starts three servers at once, and the proxy.
func (r *run) startServers(dsn string) {
	t := r.t
	program, lessons := build(t), t.TempDir()
	if err := os.WriteFile(filepath.Join(lessons, lesson+".md"), []byte(lessonText()), 0o600); err != nil {
		t.Fatal(err)
	}
	for i := range 3 {
		r.servers = append(r.servers, &server{program: program, address: freeAddress(t), log: newLog(t, fmt.Sprint("server ", i+1))})
	}
	address := freeAddress(t)
	r.origin = "http://" + address
	for _, s := range r.servers {
		s.arguments = []string{"--class", "--store", dsn, "--lessons", lessons, "--trusted-proxy", "127.0.0.1", "--origin", r.origin}
		t.Cleanup(s.kill)
		s.run(t)
	}
	proxy(t, address, r.servers)
}

// wrongPasswords tries them at one server after the other: what one has counted holds
// at all.
func (r *run) wrongPasswords() {
	try := func(i int, given string) int {
		form := url.Values{"name": {"student001"}, "password": {given}}
		a, err := http.PostForm("http://"+r.servers[i%3].address+"/sign-in", form)
		if err != nil {
			r.t.Fatal(err)
		}
		a.Body.Close()
		return a.StatusCode
	}
	for i := range 5 {
		if got := try(i, "wrong"); got != http.StatusUnprocessableEntity {
			r.t.Errorf("wrong password %d: status %d", i+1, got)
		}
	}
	for i := range r.servers {
		if got := try(i, "wrong"); got != http.StatusTooManyRequests {
			r.t.Errorf("server %d, after five wrong passwords at all: status %d", i+1, got)
		}
	}
}

// event lets something fail, and waits until everybody has gone on.
func (r *run) event(what string, fail func()) {
	r.t.Log(what)
	at := time.Now()
	fail()
	e := row{what: what}
	for _, l := range r.learners {
		for {
			took, on := l.wentOn(at)
			if on {
				e.wentOn = append(e.wentOn, took)
				break
			}
			time.Sleep(10 * time.Millisecond)
		}
	}
	for e.room == 0 {
		e.room = r.room.heard(at)
		time.Sleep(10 * time.Millisecond)
	}
	for _, l := range r.learners {
		if l.wasCut(at) {
			e.cut++
		}
		l.mu.Lock()
		e.answered += len(l.answers)
		l.mu.Unlock()
	}
	slices.Sort(e.wentOn)
	r.rows = append(r.rows, e)
}

// check compares what is kept with what was acknowledged, and prints the table.
func (r *run) check() {
	t := r.t
	sent, found, lost, doubled, strange, edits := 0, 0, 0, 0, 0, 0
	for _, l := range r.learners {
		times := map[string]int{} // an answer is kept, by exercise and text
		for i := range exercises {
			exercise := fmt.Sprintf("exercise-q%d", i+1)
			kept, err := r.store.Attempts(t.Context(), l.person, key, exercise)
			if err != nil {
				t.Fatal(err)
			}
			for n, a := range kept {
				times[exercise+" "+a.Answer]++
				if a.Number != n+1 {
					t.Errorf("learner %d, %s: answer %d has number %d", l.number, exercise, n+1, a.Number)
				}
			}
			found += len(kept)
		}
		for _, a := range l.answers {
			sent++
			n := times[a.exercise+" "+a.answer]
			delete(times, a.exercise+" "+a.answer)
			if n == 0 {
				lost++
			}
			doubled += max(0, n-1)
		}
		strange += len(times)
		edits += len(l.edits)
		w, err := r.store.Working(t.Context(), l.person, key)
		if err != nil || len(w.Edits) != 1 || w.Edits[0].Content != cellText(l.kept) {
			t.Errorf("learner %d: %+v is kept, %v; edit %d was acknowledged", l.number, w.Edits, err, l.kept)
		}
	}
	r.print()
	t.Logf("%d learners: %d answers acknowledged, %d found, %d lost, %d doubled, %d kept that were not acknowledged; %d edits evaluated and kept",
		len(r.learners), sent, found, lost, doubled, strange, edits)
	if sent == 0 || found != sent || lost+doubled+strange > 0 {
		t.Error("answers are not kept once each")
	}
	if v, err := r.store.Verify(t.Context()); err != nil || v.Damaged > 0 || v.Checked == 0 {
		t.Errorf("checksums: %+v, %v", v, err)
	}
}

func (r *run) print() {
	var b strings.Builder
	w := tabwriter.NewWriter(&b, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintf(w, "what happens\tcut\tgo on: median\tp95\tlast\troom\tanswers so far\t")
	if *full {
		fmt.Fprintf(w, "within %v\t", bar)
	}
	fmt.Fprintln(w)
	seconds := func(d time.Duration) string { return fmt.Sprintf("%.2f s", d.Seconds()) }
	for _, e := range r.rows {
		n := len(e.wentOn)
		fmt.Fprintf(w, "%s\t%d\t%s\t%s\t%s\t%s\t%d\t", e.what, e.cut, seconds(e.wentOn[n/2]), seconds(e.wentOn[n*95/100]), seconds(e.wentOn[n-1]), seconds(e.room), e.answered)
		if *full {
			in, _ := slices.BinarySearch(e.wentOn, bar)
			fmt.Fprintf(w, "%d of %d\t", in, n)
		}
		fmt.Fprintln(w)
	}
	w.Flush()
	r.t.Logf("\n%s", b.String())
}

// A room is the instructor's page of the class at work.
type room struct {
	origin, token string
	mu            sync.Mutex
	frames        []time.Time
}

func (m *room) follow(ctx context.Context) {
	for ctx.Err() == nil {
		dialer := websocket.Dialer{Subprotocols: []string{classroom.RoomProtocol}}
		conn, _, err := dialer.DialContext(ctx, strings.Replace(m.origin, "http", "ws", 1)+"/class/"+inClass+"/room/"+given+"/live?at=exercise-q1",
			http.Header{"Origin": {m.origin}, "Cookie": {"shaftbook=" + m.token}})
		if err == nil {
			stop := context.AfterFunc(ctx, func() { conn.Close() })
			for err == nil {
				if _, _, err = conn.ReadMessage(); err == nil {
					m.mu.Lock()
					m.frames = append(m.frames, time.Now())
					m.mu.Unlock()
				}
			}
			stop()
			conn.Close()
		}
		time.Sleep(400 * time.Millisecond)
	}
}

// heard is how long after a moment the room showed something new; 0 if it has not.
func (m *room) heard(after time.Time) time.Duration {
	m.mu.Lock()
	defer m.mu.Unlock()
	for _, at := range m.frames {
		if at.After(after) {
			return at.Sub(after)
		}
	}
	return 0
}
