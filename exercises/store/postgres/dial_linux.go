package postgres

import (
	"strings"
	"syscall"
)

// tcpUserTimeout is TCP_USER_TIMEOUT of linux/tcp.h: for how many milliseconds what
// was sent may stay without an answer (RFC 5482).
const tcpUserTimeout = 18

func limitSilence(network, _ string, c syscall.RawConn) (err error) {
	if !strings.HasPrefix(network, "tcp") {
		return nil
	}
	if failed := c.Control(func(fd uintptr) {
		err = syscall.SetsockoptInt(int(fd), syscall.IPPROTO_TCP, tcpUserTimeout, int(silence.Milliseconds()))
	}); failed != nil {
		return failed
	}
	return err
}
