package postgres

import (
	"context"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
)

// channel names the channel of a store. Two stores in one database have schemas
// of their own, whose names may be too long to be part of a channel's.
const channel = `'shaftbook_' || md5(current_schema())`

const notify = `SELECT pg_notify(` + channel + `, $1)`

// The shortest and longest wait before a lost connection is made anew.
const (
	firstWait = 100 * time.Millisecond
	lastWait  = time.Second
)

// listen passes on what is notified until ctx ends, on a connection of its own. Each
// new connection passes on an empty name, since it does not know what was notified
// before (PostgreSQL manual, LISTEN).
func listen(ctx context.Context, config *pgx.ConnConfig, tell func(string)) {
	wait := firstWait
	for ctx.Err() == nil {
		if hear(ctx, config, tell) {
			wait = firstWait
		}
		select {
		case <-ctx.Done():
		case <-time.After(wait):
		}
		wait = min(2*wait, lastWait)
	}
}

// hear listens on one connection until it is lost. It reports whether there was
// one.
func hear(ctx context.Context, config *pgx.ConnConfig, tell func(string)) (connected bool) {
	conn, err := pgx.ConnectConfig(ctx, config.Copy())
	if err != nil {
		return false
	}
	defer conn.Close(context.WithoutCancel(ctx))
	var name string
	if err := conn.QueryRow(ctx, "SELECT "+channel).Scan(&name); err != nil {
		return false
	}
	if _, err := conn.Exec(ctx, "LISTEN "+pgx.Identifier{name}.Sanitize()); err != nil {
		return false
	}
	tell("")
	for {
		n, err := next(ctx, conn)
		switch {
		case err != nil:
			return true
		case n != nil:
			tell(n.Payload)
		}
	}
}

// next waits for a notification. After a while without any it asks whether the server
// is still there, and returns nil.
func next(ctx context.Context, conn *pgx.Conn) (*pgconn.Notification, error) {
	quiet, cancel := context.WithTimeout(ctx, silence)
	defer cancel()
	n, err := conn.WaitForNotification(quiet)
	if err == nil || ctx.Err() != nil || quiet.Err() == nil {
		return n, err
	}
	asking, cancel := context.WithTimeout(ctx, silence)
	defer cancel()
	return nil, conn.Ping(asking)
}
