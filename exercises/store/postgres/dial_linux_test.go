package postgres

import (
	"net"
	"syscall"
	"testing"
)

// A connection over a network gives a silent host up.
func TestSilenceIsLimited(t *testing.T) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	conn, err := dialer.DialContext(t.Context(), "tcp", l.Addr().String())
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close()
	raw, err := conn.(*net.TCPConn).SyscallConn()
	if err != nil {
		t.Fatal(err)
	}
	if err := raw.Control(func(fd uintptr) {
		for option, want := range map[int]int{tcpUserTimeout: int(silence.Milliseconds()), syscall.TCP_KEEPIDLE: int(silence.Seconds()) / 2} {
			got, err := syscall.GetsockoptInt(int(fd), syscall.IPPROTO_TCP, option)
			if err != nil || got != want {
				t.Errorf("option %d is %d, %v; want %d", option, got, err, want)
			}
		}
	}); err != nil {
		t.Error(err)
	}
}
