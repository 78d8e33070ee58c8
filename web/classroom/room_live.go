package classroom

import (
	"context"
	"errors"
	"net/http"
	"slices"
	"time"

	"github.com/gorilla/websocket"

	"shaftbook/exercises/class"
	"shaftbook/web/app/room"
	"shaftbook/web/page"
	"shaftbook/web/request"
)

// RoomProtocol is the subprotocol of a room's socket; see web/PROTOCOL.md.
const RoomProtocol = "shaftbook.room.1"

const (
	roomPace     = 500 * time.Millisecond // between two looks at the store
	roomTick     = 10 * time.Second       // after this a look is due without news, for what ages
	roomPing     = 25 * time.Second
	roomRead     = 60 * time.Second
	roomWrite    = 10 * time.Second
	roomLook     = 30 * time.Second // for one look at the store
	roomsEach    = 8                // sockets of one person
	roomMessages = 512              // bytes of a message of the page, which sends none
)

var (
	errRoomOrigin  = request.NewRefusal(http.StatusForbidden, "origin", "The origin is not allowed", "Open the room from this server’s own page, or start the server with --origin to allow another.")
	errRoomUpgrade = request.NewRefusal(http.StatusUpgradeRequired, "upgrade", "This address speaks the websocket protocol", "Open it from the page of a room; it speaks "+RoomProtocol+".")
	errRoomMany    = request.NewRefusal(http.StatusTooManyRequests, "full", "Too many rooms are open", "Close some of their pages and try again.")
)

// A roomMessage carries the pieces of a page that have changed.
type roomMessage struct {
	Type    string      `json:"type"`
	Version int         `json:"version"` // counts the messages of a connection from 1
	Pieces  []roomPiece `json:"pieces"`
}

type roomPiece struct {
	ID   string `json:"id"`
	HTML string `json:"html"`
}

var roomUpgrader = websocket.Upgrader{
	HandshakeTimeout: 5 * time.Second, ReadBufferSize: 1024, WriteBufferSize: 4096, Subprotocols: []string{RoomProtocol},
	CheckOrigin: func(*http.Request) bool { return true }, // done in live, with a reason
}

// live pushes what changes in a room to one page, until either goes away or the
// reader may no longer see it.
func (m *rooms) live(w http.ResponseWriter, r *http.Request) {
	origins := r.Header.Values("Origin")
	v, err := m.view(r.Context(), r, nil)
	switch {
	case err != nil:
	case !websocket.IsWebSocketUpgrade(r) || !slices.Contains(websocket.Subprotocols(r), RoomProtocol):
		err = errRoomUpgrade
	case len(origins) != 1 || !m.Allows(origins[0]):
		err = errRoomOrigin
	case !m.enter(request.VisitorFrom(r).Person.ID):
		err = errRoomMany
	}
	if err != nil {
		m.FailClass(w, r, err)
		return
	}
	defer m.leave(request.VisitorFrom(r).Person.ID)
	conn, err := roomUpgrader.Upgrade(w, r, nil)
	if err != nil {
		return // Upgrade has answered
	}
	ctx, cancel := context.WithCancel(m.ctx)
	defer cancel()
	go readNothing(conn, cancel)
	code, reason := m.follow(ctx, conn, r, v)
	_ = conn.WriteControl(websocket.CloseMessage, websocket.FormatCloseMessage(code, reason), time.Now().Add(time.Second))
	_ = conn.Close()
}

// enter counts a socket of a person in, if it may be opened.
func (m *rooms) enter(person string) bool {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.ctx.Err() != nil || m.open[person] >= roomsEach {
		return false
	}
	m.open[person]++
	m.running.Add(1)
	return true
}

func (m *rooms) leave(person string) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.open[person]--; m.open[person] == 0 {
		delete(m.open, person)
	}
	m.running.Done()
}

// close ends all sockets and waits for them until ctx ends.
func (m *rooms) close(ctx context.Context) error {
	if m == nil {
		return nil
	}
	m.mu.Lock()
	m.end()
	m.mu.Unlock()
	ended := make(chan struct{})
	go func() {
		m.running.Wait()
		close(ended)
	}()
	select {
	case <-ended:
		return nil
	case <-ctx.Done():
		return errors.Join(errors.New("some rooms did not close in time"), ctx.Err())
	}
}

// readNothing reads so that pongs and the close of the page are noticed.
func readNothing(conn *websocket.Conn, gone context.CancelFunc) {
	defer gone()
	conn.SetReadLimit(roomMessages)
	renew := func(string) error { return conn.SetReadDeadline(time.Now().Add(roomRead)) }
	conn.SetPongHandler(renew)
	_ = renew("")
	for {
		if _, _, err := conn.ReadMessage(); err != nil {
			return
		}
	}
}

// follow sends pieces until the connection has to end, and says why. It is the
// connection's one writer.
func (m *rooms) follow(ctx context.Context, conn *websocket.Conn, r *http.Request, v *room.View) (code int, reason string) {
	news, err := m.Store.Watch(ctx)
	if err != nil {
		m.Log.Warn("a room follows by the clock only", "error", err) // the nil channel is never ready
	}
	ping := time.NewTicker(roomPing)
	defer ping.Stop()
	look := time.NewTimer(0)
	defer look.Stop()
	var looked time.Time
	sent, version, waiting := map[string]string{}, 0, true
	for {
		select {
		case <-ctx.Done():
			return websocket.CloseGoingAway, "the server or the page goes away"
		case <-ping.C:
			if conn.WriteControl(websocket.PingMessage, nil, time.Now().Add(roomWrite)) != nil {
				return websocket.CloseGoingAway, ""
			}
		case key, open := <-news:
			if !open {
				news = nil
			}
			if (key == "" || key == v.Assignment.Key()) && !waiting {
				waiting = true
				look.Reset(max(0, roomPace-time.Since(looked)))
			}
		case <-look.C:
			looked, waiting = time.Now(), false
			if !m.still(ctx, r) {
				return websocket.ClosePolicyViolation, "signed out, or no longer of this class"
			}
			var changed []roomPiece
			v, changed = m.changed(ctx, r, v, sent)
			if len(changed) > 0 {
				version++
				_ = conn.SetWriteDeadline(time.Now().Add(roomWrite))
				if conn.WriteJSON(roomMessage{"pieces", version, changed}) != nil {
					return websocket.CloseGoingAway, ""
				}
			}
			look.Reset(roomTick)
		}
	}
}

// still reports whether the reader is signed in and an instructor of the class.
// While the store cannot say, what was allowed stays so.
func (m *rooms) still(ctx context.Context, r *http.Request) bool {
	who := request.VisitorFrom(r)
	if !m.SessionOpen(ctx, who.Session) {
		return false
	}
	member, err := m.Store.Member(ctx, who.Class.ID, who.Person.ID)
	if errors.Is(err, class.ErrNone) {
		return false
	}
	return err != nil || member.Role == class.Staff && !member.Left
}

// changed returns the view as it is now and the pieces that differ from those
// that were sent. A fault is logged; the next look tries again.
func (m *rooms) changed(ctx context.Context, r *http.Request, v *room.View, sent map[string]string) (*room.View, []roomPiece) {
	ctx, cancel := context.WithTimeout(ctx, roomLook)
	defer cancel()
	now, err := m.view(ctx, r, v)
	var pieces []page.RoomPiece
	if err == nil {
		v = now
		pieces, err = m.room().Pieces(ctx, v, m.Now())
	}
	if err != nil {
		if !errors.Is(err, context.Canceled) {
			m.Log.Warn("a room cannot be shown just now", "assignment", v.Assignment.ID, "error", err)
		}
		return v, nil
	}
	var list []roomPiece
	for _, p := range pieces {
		if html := string(p.HTML); sent[p.ID] != html {
			sent[p.ID] = html
			list = append(list, roomPiece{p.ID, html})
		}
	}
	return v, list
}
