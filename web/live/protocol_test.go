package live

import (
	"bufio"
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/gorilla/websocket"
)

// The cases below follow the classes of RFC 6455: framing (section 5.2),
// masking (5.1, 5.3), fragmentation (5.4), control frames (5.5), UTF-8 (8.1),
// closing (7). Each writes bytes, since a client library would not.

// rawClient speaks RFC 6455 by hand.
type rawClient struct {
	t    *testing.T
	conn net.Conn
	in   *bufio.Reader
}

func (r *rig) raw() *rawClient {
	r.t.Helper()
	conn, err := net.Dial("tcp", r.server.Listener.Addr().String())
	if err != nil {
		r.t.Fatal(err)
	}
	r.t.Cleanup(func() { conn.Close() })
	c := &rawClient{r.t, conn, bufio.NewReader(conn)}
	c.write([]byte("GET /live HTTP/1.1\r\nHost: " + r.server.Listener.Addr().String() +
		"\r\nUpgrade: websocket\r\nConnection: Upgrade\r\nSec-WebSocket-Version: 13\r\n" +
		"Sec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==\r\nSec-WebSocket-Protocol: " + Protocol +
		"\r\nOrigin: " + r.server.URL + "\r\n\r\n"))
	answer, err := http.ReadResponse(c.in, nil)
	if err != nil {
		r.t.Fatal(err)
	}
	// The key and its answer are those of RFC 6455, section 1.3.
	if got := answer.Header.Get("Sec-WebSocket-Accept"); answer.StatusCode != 101 || got != "s3pPLMBiTxaQ9kYGzzhZRbK+xOo=" {
		r.t.Fatalf("handshake: status %d, accept %q", answer.StatusCode, got)
	}
	if got := answer.Header.Get("Sec-WebSocket-Protocol"); got != Protocol {
		r.t.Fatalf("handshake: protocol %q", got)
	}
	if got := answer.Header.Get("Sec-WebSocket-Extensions"); got != "" {
		r.t.Fatalf("handshake: the extension %q was agreed on, want none", got)
	}
	return c
}

func (c *rawClient) write(b []byte) {
	c.t.Helper()
	_ = c.conn.SetWriteDeadline(time.Now().Add(5 * time.Second))
	if _, err := c.conn.Write(b); err != nil {
		c.t.Fatal(err)
	}
}

// frame makes one masked frame; first holds FIN, RSV and the opcode.
func frame(first byte, payload []byte) []byte {
	var b bytes.Buffer
	b.WriteByte(first)
	switch n := len(payload); {
	case n < 126:
		b.WriteByte(0x80 | byte(n))
	case n < 1<<16:
		b.WriteByte(0x80 | 126)
		_ = binary.Write(&b, binary.BigEndian, uint16(n))
	default:
		b.WriteByte(0x80 | 127)
		_ = binary.Write(&b, binary.BigEndian, uint64(n))
	}
	mask := [4]byte{0x5a, 0x17, 0xc3, 0x08}
	b.Write(mask[:])
	for i, p := range payload {
		b.WriteByte(p ^ mask[i%4])
	}
	return b.Bytes()
}

const (
	fin      = 0x80
	more     = 0x00
	cont     = 0x0
	text     = 0x1
	binaryOp = 0x2
	closing  = 0x8
	ping     = 0x9
	pong     = 0xa
)

// read returns the next frame of the server, which must not be masked.
func (c *rawClient) read() (opcode byte, payload []byte, err error) {
	var head [2]byte
	if _, err := io.ReadFull(c.in, head[:]); err != nil {
		return 0, nil, err
	}
	if head[1]&0x80 != 0 {
		return 0, nil, errors.New("the server masked a frame")
	}
	n := uint64(head[1])
	switch n {
	case 126:
		var l uint16
		err = binary.Read(c.in, binary.BigEndian, &l)
		n = uint64(l)
	case 127:
		err = binary.Read(c.in, binary.BigEndian, &n)
	}
	if err != nil {
		return 0, nil, err
	}
	payload = make([]byte, n)
	_, err = io.ReadFull(c.in, payload)
	return head[0] & 0xf, payload, err
}

// wantText reads on until a text frame holds a piece.
func (c *rawClient) wantText(piece string) {
	c.t.Helper()
	for {
		opcode, payload, err := c.read()
		if err != nil {
			c.t.Fatalf("waiting for %q: %v", piece, err)
		}
		if opcode == text && strings.Contains(string(payload), piece) {
			return
		}
	}
}

// wantClose reads on until the connection ends and checks the code of the
// close frame; 0 accepts an end without one.
func (c *rawClient) wantClose(code int) {
	c.t.Helper()
	got := 0
	for {
		opcode, payload, err := c.read()
		if err != nil {
			break
		}
		if opcode == closing && len(payload) >= 2 {
			got = int(binary.BigEndian.Uint16(payload))
		}
	}
	if got != code {
		c.t.Errorf("closed with code %d, want %d", got, code)
	}
}

const openText = `{"type":"open","revision":1,"lesson":"uniform"}`

func editText(s string) string {
	return fmt.Sprintf(`{"type":"edit","revision":2,"cell":"c1","text":%q}`, s)
}

func TestBrokenFramesAreRefused(t *testing.T) {
	unmasked := append([]byte{fin | text, byte(len(openText))}, openText...)
	for _, c := range []struct {
		name  string
		bytes []byte
		code  int
	}{
		{"a frame without a mask", unmasked, websocket.CloseProtocolError},
		{"RSV1, as compression would set it", frame(fin|0x40|text, []byte(openText)), websocket.CloseProtocolError},
		{"RSV2", frame(fin|0x20|text, []byte(openText)), websocket.CloseProtocolError},
		{"RSV3", frame(fin|0x10|text, []byte(openText)), websocket.CloseProtocolError},
		{"opcode 3", frame(fin|0x3, nil), websocket.CloseProtocolError},
		{"opcode 7", frame(fin|0x7, nil), websocket.CloseProtocolError},
		{"opcode 11", frame(fin|0xb, nil), websocket.CloseProtocolError},
		{"opcode 15", frame(fin|0xf, nil), websocket.CloseProtocolError},
		{"a ping in pieces", frame(more|ping, []byte("x")), websocket.CloseProtocolError},
		{"a ping of 126 bytes", frame(fin|ping, make([]byte, 126)), websocket.CloseProtocolError},
		{"a continuation of nothing", frame(fin|cont, []byte("x")), websocket.CloseProtocolError},
		{"a new message inside another", append(frame(more|text, []byte(`{"ty`)), frame(fin|text, []byte(openText))...), websocket.CloseProtocolError},
		{"close code 1005", frame(fin|closing, []byte{0x03, 0xed}), websocket.CloseProtocolError},
		{"close code 1006", frame(fin|closing, []byte{0x03, 0xee}), websocket.CloseProtocolError},
		{"close code 999", frame(fin|closing, []byte{0x03, 0xe7}), websocket.CloseProtocolError},
		{"a close frame of one byte, which the library answers without a code", frame(fin|closing, []byte{0x03}), 0},
		{"a binary frame", frame(fin|binaryOp, []byte(openText)), websocket.CloseUnsupportedData},
		{"text that is not UTF-8", frame(fin|text, []byte("{\"type\":\"\xff\"}")), websocket.CloseInvalidFramePayloadData},
		{"an overlong UTF-8 form", frame(fin|text, []byte("\xc0\xaf")), websocket.CloseInvalidFramePayloadData},
		{"half of a surrogate pair", frame(fin|text, []byte("\xed\xa0\x80")), websocket.CloseInvalidFramePayloadData},
		{"UTF-8 cut off at the end", frame(fin|text, []byte("\xce")), websocket.CloseInvalidFramePayloadData},
		{"a message above the limit", frame(fin|text, make([]byte, messageLimit+1)), websocket.CloseMessageTooBig},
	} {
		t.Run(c.name, func(t *testing.T) {
			client := newRig(t).raw()
			// The server may close before all is written; that is not a fault.
			_ = client.conn.SetWriteDeadline(time.Now().Add(5 * time.Second))
			_, _ = client.conn.Write(c.bytes)
			client.wantClose(c.code)
		})
	}
}

func TestGoodFramesInOddShapes(t *testing.T) {
	edit := editText("θ = 1")
	at := strings.Index(edit, "θ") + 1 // in the middle of a character
	for _, c := range []struct {
		name  string
		write func(c *rawClient)
	}{
		{"two frames in one segment", func(c *rawClient) {
			c.write(append(frame(fin|text, []byte(openText)), frame(fin|text, []byte(edit))...))
		}},
		{"one byte at a time", func(c *rawClient) {
			for _, b := range append(frame(fin|text, []byte(openText)), frame(fin|text, []byte(edit))...) {
				c.write([]byte{b})
			}
		}},
		{"a character split over two fragments", func(c *rawClient) {
			c.write(frame(fin|text, []byte(openText)))
			c.write(frame(more|text, []byte(edit[:at])))
			c.write(frame(fin|cont, []byte(edit[at:])))
		}},
		{"a ping between two fragments", func(c *rawClient) {
			c.write(frame(fin|text, []byte(openText)))
			c.write(frame(more|text, []byte(edit[:20])))
			c.write(frame(fin|ping, []byte("are you there")))
			c.write(frame(fin|cont, []byte(edit[20:])))
		}},
		{"an empty fragment", func(c *rawClient) {
			c.write(frame(fin|text, []byte(openText)))
			c.write(frame(more|text, nil))
			c.write(frame(fin|cont, []byte(edit)))
		}},
		{"a pong that nobody asked for", func(c *rawClient) {
			c.write(frame(fin|text, []byte(openText)))
			c.write(frame(fin|pong, []byte("hello")))
			c.write(frame(fin|text, []byte(edit)))
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			client := newRig(t).raw()
			c.write(client)
			client.wantText(`θ = 1 n=0`)
		})
	}
}

func TestPingIsAnsweredWithItsBytes(t *testing.T) {
	c := newRig(t).raw()
	c.write(frame(fin|ping, []byte("shaft")))
	opcode, payload, err := c.read()
	if err != nil || opcode != pong || string(payload) != "shaft" {
		t.Errorf("opcode %d, payload %q, error %v; want the pong of the ping", opcode, payload, err)
	}
}

func TestCloseIsAnswered(t *testing.T) {
	c := newRig(t).raw()
	c.write(frame(fin|closing, []byte{0x03, 0xe8}))
	c.wantClose(websocket.CloseNormalClosure)
}

func TestHandshakeTable(t *testing.T) {
	r := newRig(t)
	own := r.server.URL
	host := strings.TrimPrefix(own, "http://")
	for _, c := range []struct {
		name   string
		header map[string]string // "" takes a header away
		status int
	}{
		{"as a page does it", nil, http.StatusSwitchingProtocols},
		{"no origin", map[string]string{"Origin": ""}, http.StatusForbidden},
		{"origin null", map[string]string{"Origin": "null"}, http.StatusForbidden},
		{"another host", map[string]string{"Origin": "http://mill.example"}, http.StatusForbidden},
		{"another scheme", map[string]string{"Origin": "https://" + host}, http.StatusForbidden},
		{"another port", map[string]string{"Origin": "http://127.0.0.1:1"}, http.StatusForbidden},
		{"own origin as a prefix", map[string]string{"Origin": own + ".mill.example"}, http.StatusForbidden},
		{"own origin with a path", map[string]string{"Origin": own + "/"}, http.StatusForbidden},
		{"no subprotocol", map[string]string{"Sec-WebSocket-Protocol": ""}, http.StatusBadRequest},
		{"the version before", map[string]string{"Sec-WebSocket-Protocol": "shaftbook.working.3"}, http.StatusBadRequest},
		{"a later version", map[string]string{"Sec-WebSocket-Protocol": "shaftbook.working.5"}, http.StatusBadRequest},
		{"several versions, ours among them", map[string]string{"Sec-WebSocket-Protocol": "shaftbook.working.5, " + Protocol}, http.StatusSwitchingProtocols},
		{"no upgrade", map[string]string{"Upgrade": ""}, http.StatusUpgradeRequired},
		{"an old websocket version", map[string]string{"Sec-WebSocket-Version": "8"}, http.StatusBadRequest},
	} {
		t.Run(c.name, func(t *testing.T) {
			q, err := http.NewRequest(http.MethodGet, own+"/live", nil)
			if err != nil {
				t.Fatal(err)
			}
			for k, v := range map[string]string{
				"Connection": "Upgrade", "Upgrade": "websocket", "Sec-WebSocket-Version": "13",
				"Sec-WebSocket-Key": "dGhlIHNhbXBsZSBub25jZQ==", "Sec-WebSocket-Protocol": Protocol, "Origin": own,
			} {
				q.Header.Set(k, v)
			}
			for k, v := range c.header {
				q.Header.Del(k)
				if v != "" {
					q.Header.Set(k, v)
				}
			}
			answer, err := http.DefaultTransport.RoundTrip(q)
			if err != nil {
				t.Fatal(err)
			}
			defer answer.Body.Close()
			if answer.StatusCode != c.status {
				t.Errorf("status %d, want %d", answer.StatusCode, c.status)
			}
			if c.status == http.StatusForbidden && answer.Header.Get("Content-Type") != "application/problem+json" {
				t.Errorf("a refusal of type %q, want a problem object", answer.Header.Get("Content-Type"))
			}
		})
	}
}

func TestTooManySocketsFromOneAddress(t *testing.T) {
	r := newRig(t)
	r.hub.mu.Lock()
	for range socketsPerAddress {
		r.hub.open.Enter(Holder{Address: "127.0.0.1"}.limits()...)
	}
	r.hub.mu.Unlock()
	_, answer, err := (&websocket.Dialer{Subprotocols: []string{Protocol}}).Dial(
		"ws"+strings.TrimPrefix(r.server.URL, "http")+"/live", http.Header{"Origin": {r.server.URL}})
	if err == nil || answer == nil || answer.StatusCode != http.StatusTooManyRequests || answer.Header.Get("Retry-After") == "" {
		t.Errorf("error %v, answer %v; want 429 with Retry-After", err, answer)
	}
}

// A page that never reads must not hold an evaluation or another page up.
func TestSlowReaderIsLeftBehind(t *testing.T) {
	r := newRig(t)
	deaf := r.open()
	for i := range 20 {
		deaf.send(fmt.Sprintf(`{"type":"edit","revision":%d,"cell":"c1","text":%q}`, i+2, strings.Repeat("x", textLimit-1)))
	}
	other := r.open()
	other.send(editText("T = 5 N·m"))
	if a := other.want("row"); a.HTML == "" {
		t.Error("another page got no row")
	}
}
