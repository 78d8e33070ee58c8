package postgres

import (
	"context"
	"time"

	"github.com/jackc/pgx/v5"
)

// channel names the channel of a store. Two stores in one database have schemas
// of their own, whose names may be too long to be part of a channel's.
const channel = `'shaftbook_' || md5(current_schema())`

const notify = `SELECT pg_notify(` + channel + `, $1)`

// The shortest and longest wait before a lost connection is made anew.
const (
	firstWait = 100 * time.Millisecond
	lastWait  = 5 * time.Second
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
		n, err := conn.WaitForNotification(ctx)
		if err != nil {
			return true
		}
		tell(n.Payload)
	}
}
