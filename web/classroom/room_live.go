package classroom

import (
	"context"
	"encoding/json"
	"errors"
	"net/http"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/web/app/room"
	"shaftbook/web/page"
	"shaftbook/web/request"
	"shaftbook/web/socket"
	"shaftbook/web/turns"
)

// RoomProtocol is the subprotocol of a room's socket; see web/PROTOCOL.md.
const RoomProtocol = "shaftbook.room.1"

const (
	roomPace     = 500 * time.Millisecond // between two looks at the store
	roomTick     = 10 * time.Second       // after this a look is due without news, for what ages
	roomLook     = 30 * time.Second       // for one look at the store
	roomsEach    = 8                      // sockets of one person
	roomMessages = 512                    // bytes of a message of the page, which sends none
)

var (
	errRoomOrigin  = request.NewRefusal(http.StatusForbidden, "origin", "The origin is not allowed", "Open the live view from this server’s own page, or start the server with --origin to allow another.")
	errRoomUpgrade = request.NewRefusal(http.StatusUpgradeRequired, "upgrade", "This address is for websockets", "Open it from the page of a live view; its protocol is "+RoomProtocol+".")
	errRoomMany    = request.NewRefusal(http.StatusTooManyRequests, "full", "Too many live views are open", "Close some of them and try again.")
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

// live pushes what changes in a room to one page, until either goes away or the
// reader may no longer see it.
func (m *rooms) live(w http.ResponseWriter, r *http.Request) {
	v, err := m.view(r.Context(), r, nil)
	if err == nil {
		err = m.refusal(r)
	}
	if err != nil {
		m.FailClass(w, r, err)
		return
	}
	limit := socket.Limit{Key: request.VisitorFrom(r).Person.ID, Most: roomsEach}
	if !m.enter(limit) {
		m.FailClass(w, r, errRoomMany)
		return
	}
	defer m.leave(limit)
	conn, err := m.endpoint.Upgrade(w, r)
	if err != nil {
		return // Upgrade has answered
	}
	defer conn.Close()
	ctx, cancel := context.WithCancel(m.ctx)
	defer cancel()
	go func() {
		defer cancel()
		// The page sends nothing; pongs and its close are noticed.
		conn.ReadAll(roomMessages, func(bool, []byte) bool { return true })
	}()
	conn.Refuse(m.follow(ctx, conn, r, v))
}

// refusal returns why a request does not become a socket, or nil.
func (m *rooms) refusal(r *http.Request) error {
	switch m.endpoint.Check(r) {
	case nil:
		return nil
	case socket.ErrNoOrigin, socket.ErrOrigin:
		return errRoomOrigin
	}
	return errRoomUpgrade
}

// enter counts a socket in, if it may be opened.
func (m *rooms) enter(limit socket.Limit) bool {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.ctx.Err() != nil {
		return false
	}
	if _, ok := m.open.Enter(limit); !ok {
		return false
	}
	m.running.Add(1)
	return true
}

func (m *rooms) leave(limit socket.Limit) {
	m.open.Leave(limit)
	m.running.Done()
}

// close ends all sockets and waits for them until ctx ends.
func (m *rooms) close(ctx context.Context) error {
	m.mu.Lock()
	m.end()
	m.mu.Unlock()
	if err := m.running.Wait(ctx); err != nil {
		return errors.Join(errors.New("some rooms did not close in time"), err)
	}
	return nil
}

// follow sends pieces until the connection has to end, and says why. It is the
// connection's one writer.
func (m *rooms) follow(ctx context.Context, conn *socket.Conn, r *http.Request, v *room.View) (code int, reason string) {
	news, err := m.Store.Watch(ctx)
	if err != nil {
		m.Log.Warn("a room follows by the clock only", "error", err) // the nil channel is never ready
	}
	ping := time.NewTicker(socket.PingPeriod)
	defer ping.Stop()
	look := time.NewTimer(0)
	defer look.Stop()
	var looked time.Time
	about := request.AboutPerson + request.VisitorFrom(r).Person.ID
	sent, version, waiting := map[string]string{}, 0, true
	for {
		select {
		case <-ctx.Done():
			return socket.GoingAway, "the server or the page goes away"
		case <-ping.C:
			if conn.Ping() != nil {
				return socket.GoingAway, ""
			}
		case key, open := <-news:
			if !open {
				news = nil
			}
			if (key == "" || key == v.Assignment.Key() || key == about) && !waiting {
				waiting = true
				look.Reset(max(0, roomPace-time.Since(looked)))
			}
		case <-look.C:
			looked, waiting = time.Now(), false
			if !m.still(ctx, r) {
				return socket.PolicyViolation, "signed out, or no longer of this class"
			}
			var changed []roomPiece
			v, changed = m.changed(ctx, r, v, sent)
			if len(changed) > 0 {
				version++
				message, err := json.Marshal(roomMessage{"pieces", version, changed})
				if err != nil {
					m.Log.Error("a room's message cannot be written", "error", err)
					return socket.GoingAway, ""
				}
				if conn.WriteText(message) != nil {
					return socket.GoingAway, ""
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
	ctx, cancel := context.WithTimeout(turns.Like(ctx, r.Context()), roomLook)
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
