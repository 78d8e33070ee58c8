package postgres

import (
	"net"
	"time"
)

const (
	connectWait = 3 * time.Second  // for one host, where the address names no connect_timeout
	silence     = 10 * time.Second // after which a host that answers nothing is taken for gone
)

// dialer connects to a database. A host that went away without a word (its power, its
// network) would otherwise be waited for until the system gives up, a quarter of an
// hour by default.
var dialer = &net.Dialer{
	KeepAliveConfig: net.KeepAliveConfig{Enable: true, Idle: silence / 2, Interval: silence / 4, Count: 2},
	Control:         limitSilence,
}
