package deploy

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"math/rand/v2"
	"net"
	"net/http"
	"net/url"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"time"

	"github.com/gorilla/websocket"

	"shaftbook/web/live"
)

// A learner edits a calculation, has each edit evaluated over the live connection and
// kept, and hands in answers: as the page does, which tries again with the same waits
// (web/static/js: live.js, keep.js, exercise.js).
type learner struct {
	number        int
	person, token string
	origin        string // of the proxy
	pace          time.Duration
	client        *http.Client
	fail          func(format string, args ...any)

	mu       sync.Mutex
	conn     *websocket.Conn // nil while there is none
	revision int64
	n        int // of the edit that is shown
	kept     int // the last edit that was acknowledged
	base     int64
	shown    chan struct{} // closed when edit n is evaluated
	drops    []time.Time
	edits    []span
	answers  []acknowledged
	forms    []url.Values // of each exercise, as the page has them
}

// A span is when an edit was made, and when it was evaluated and kept.
type span struct{ began, ended time.Time }

// An acknowledged answer is one that the server said it has.
type acknowledged struct{ exercise, answer string }

// begin prepares a learner with an address of its own, since servers bound what comes
// from one.
func (l *learner) begin(origin string, pace time.Duration, fail func(string, ...any)) {
	from := &net.TCPAddr{IP: net.IPv4(127, 1, byte(l.number/200), byte(l.number%200+1))}
	dialer := &net.Dialer{LocalAddr: from}
	l.origin, l.pace, l.fail = origin, pace, fail
	l.client = &http.Client{Transport: &http.Transport{DialContext: dialer.DialContext, MaxIdleConnsPerHost: 4}}
	l.shown = make(chan struct{})
}

// do sends a request; status 0 is no answer.
func (l *learner) do(method, path, contentType, body string) (status int, answer string, header http.Header) {
	q, err := http.NewRequest(method, l.origin+path, strings.NewReader(body))
	if err != nil {
		l.fail("%v", err)
		return 0, "", nil
	}
	q.AddCookie(&http.Cookie{Name: "shaftbook", Value: l.token})
	q.Header.Set("Accept", "application/json")
	if contentType != "" {
		q.Header.Set("Content-Type", contentType)
	}
	r, err := l.client.Do(q)
	if err != nil {
		return 0, "", nil
	}
	defer r.Body.Close()
	said, err := io.ReadAll(r.Body)
	if err != nil {
		return 0, "", nil
	}
	return r.StatusCode, string(said), r.Header
}

// until repeats a request while there is no answer or one of 500 and above.
func (l *learner) until(first, longest time.Duration, method, path, contentType, body string) (status int, answer string, header http.Header) {
	for wait := first; ; wait = min(longest, 2*wait) {
		status, answer, header = l.do(method, path, contentType, body)
		if status > 0 && status < 500 {
			return status, answer, header
		}
		time.Sleep(time.Duration(float64(wait) * (0.8 + 0.4*rand.Float64())))
	}
}

var (
	part   = regexp.MustCompile(`(?s)<form class="answer js-form"[^>]*action="/lesson/[^"]*/exercise/([^"]*)"[^>]*>(.*?)</form>`)
	hidden = regexp.MustCompile(`<input type="hidden" name="([a-z]+)" value="([^"]*)">`)
)

// open reads the page.
func (l *learner) open() {
	status, body, _ := l.until(time.Second, time.Second, "GET", "/lesson/"+key, "", "")
	for _, m := range part.FindAllStringSubmatch(body, -1) {
		l.forms = append(l.forms, fields(m[1], m[2]))
	}
	if status != http.StatusOK || len(l.forms) != exercises {
		l.fail("learner %d: the page has status %d and %d exercises", l.number, status, len(l.forms))
	}
}

func fields(exercise, form string) url.Values {
	v := url.Values{"exercise": {exercise}}
	for _, m := range hidden.FindAllStringSubmatch(form, -1) {
		v.Set(m[1], m[2])
	}
	return v
}

// follow keeps a live connection until ctx ends.
func (l *learner) follow(ctx context.Context) {
	for attempts := 0; ctx.Err() == nil; attempts++ {
		if l.followOnce(ctx) {
			attempts = 0
		}
		wait := min(15*time.Second, 400*time.Millisecond<<min(attempts, 10))
		select {
		case <-ctx.Done():
		case <-time.After(time.Duration(float64(wait) * (0.7 + 0.6*rand.Float64()))):
		}
	}
}

// followOnce is one connection; opened is whether there was one.
func (l *learner) followOnce(ctx context.Context) (opened bool) {
	dialer := websocket.Dialer{Subprotocols: []string{live.Protocol}, NetDialContext: l.client.Transport.(*http.Transport).DialContext}
	conn, _, err := dialer.DialContext(ctx, strings.Replace(l.origin, "http", "ws", 1)+"/live",
		http.Header{"Origin": {l.origin}, "Cookie": {"shaftbook=" + l.token}})
	if err != nil {
		return false
	}
	stop := context.AfterFunc(ctx, func() { conn.Close() })
	defer stop()
	defer conn.Close()
	l.mu.Lock()
	l.conn = conn
	l.revision++
	l.send(map[string]any{"type": "open", "revision": l.revision, "lesson": key, "edits": map[string]string{"calc-1": cellText(l.n)}, "all": true})
	l.mu.Unlock()
	for {
		_, frame, err := conn.ReadMessage()
		if err != nil {
			break
		}
		l.take(frame)
	}
	l.mu.Lock()
	l.conn = nil
	if ctx.Err() == nil {
		l.drops = append(l.drops, time.Now())
	}
	l.mu.Unlock()
	return true
}

// take notes whether a frame shows the edit.
func (l *learner) take(frame []byte) {
	var messages []struct{ Type, Cell, Spoken, HTML string }
	if err := json.Unmarshal(frame, &messages); err != nil {
		l.fail("learner %d: %v in %.200s", l.number, err, frame)
		return
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	for _, m := range messages {
		if m.Type == "problem" {
			l.fail("learner %d: %s", l.number, frame)
		}
		if m.Type == "row" && m.Cell == "calc-1" && strings.Contains(m.Spoken, strconv.Itoa(2*l.n)+" ") {
			select {
			case <-l.shown:
			default:
				close(l.shown)
			}
		}
	}
}

// send sends a message while there is a connection. The caller holds the lock.
func (l *learner) send(message any) {
	if l.conn == nil {
		return // the opening message will have it
	}
	text, err := json.Marshal(message)
	if err != nil {
		l.fail("%v", err)
	}
	l.conn.WriteMessage(websocket.TextMessage, text) // an error is one of reading too
}

// edit changes the calculation again and again until ctx ends.
func (l *learner) edit(ctx context.Context) {
	for l.rest(ctx, l.pace) {
		began := time.Now()
		l.mu.Lock()
		l.n++
		n, shown := l.n, make(chan struct{})
		l.shown = shown
		l.revision++
		l.send(map[string]any{"type": "edit", "revision": l.revision, "cell": "calc-1", "text": cellText(n)})
		l.mu.Unlock()
		if !l.keep(ctx, n) {
			return
		}
		<-shown
		l.mu.Lock()
		l.edits = append(l.edits, span{began, time.Now()})
		l.mu.Unlock()
	}
}

// keep has an edit kept.
func (l *learner) keep(ctx context.Context, n int) bool {
	change, err := json.Marshal(map[string]any{"base": l.base, "edits": map[string]string{"calc-1": cellText(n)}, "varied": map[string]float64{}})
	if err != nil {
		l.fail("%v", err)
	}
	for {
		status, answer, _ := l.until(500*time.Millisecond, 5*time.Second, "POST", "/lesson/"+key+"/kept", "application/json", string(change))
		var said struct{ Revision int64 }
		switch err := json.Unmarshal([]byte(answer), &said); {
		case status == http.StatusTooManyRequests:
			if !l.rest(ctx, time.Second) {
				return false
			}
		case status != http.StatusOK || err != nil:
			l.fail("learner %d: an edit is refused: %d %s", l.number, status, answer)
			return false
		case said.Revision <= l.base:
			l.fail("learner %d: after revision %d comes %d, so an edit that was acknowledged is lost", l.number, l.base, said.Revision)
			return false
		default:
			l.base, l.kept = said.Revision, n
			return true
		}
	}
}

// answer hands in answers until ctx ends. One that was sent is sent until it is
// acknowledged.
func (l *learner) answer(ctx context.Context, pace time.Duration) {
	for i := 0; i < exercises*triesEach && l.rest(ctx, pace); {
		form := l.forms[i/triesEach]
		text := fmt.Sprintf("%d.%03d deg", 5+l.number%7, i)
		form.Set("answer", text)
		exercise := form.Get("exercise")
		status, body, header := l.until(time.Second, 10*time.Second, "POST", "/lesson/"+key+"/exercise/"+exercise,
			"application/x-www-form-urlencoded", form.Encode())
		if status == http.StatusTooManyRequests {
			seconds, err := strconv.Atoi(header.Get("Retry-After"))
			if err != nil || !l.rest(ctx, time.Duration(seconds)*time.Second) {
				return
			}
			continue
		}
		var said struct{ HTML string }
		if err := json.Unmarshal([]byte(body), &said); status != http.StatusOK || err != nil {
			l.fail("learner %d: an answer is refused: %d %s", l.number, status, body)
			return
		}
		l.mu.Lock()
		l.answers = append(l.answers, acknowledged{exercise, text})
		l.mu.Unlock()
		i++
		if m := part.FindStringSubmatch(said.HTML); m != nil {
			l.forms[(i-1)/triesEach] = fields(m[1], m[2])
		}
	}
}

// rest waits for about as long and reports whether ctx goes on.
func (l *learner) rest(ctx context.Context, pause time.Duration) bool {
	select {
	case <-ctx.Done():
		return false
	case <-time.After(time.Duration(float64(pause) * (0.8 + 0.4*rand.Float64()))):
		return true
	}
}

// wentOn is how long after a moment the first edit that began after it was evaluated
// and kept.
func (l *learner) wentOn(after time.Time) (time.Duration, bool) {
	l.mu.Lock()
	defer l.mu.Unlock()
	for _, e := range l.edits {
		if !e.began.Before(after) {
			return e.ended.Sub(after), true
		}
	}
	return 0, false
}

// wasCut reports whether the live connection broke after a moment.
func (l *learner) wasCut(after time.Time) bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	return len(l.drops) > 0 && l.drops[len(l.drops)-1].After(after)
}
