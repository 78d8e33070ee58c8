package sqlstore

import (
	"context"
	"database/sql"
	"database/sql/driver"
	"sync/atomic"
)

// A connection is the single connection that writes to a database with one
// writer. It keeps its statements prepared, since reading the text of one takes
// longer than running it, and it begins and ends transactions itself: sql.Tx
// starts a goroutine for each statement, which costs as much as the statement.
// It is used by one goroutine at a time.
type connection struct {
	pools    *atomic.Pointer[Pools]
	conn     *sql.Conn // nil before first use and after a failure
	prepared map[string]*sql.Stmt
}

func (c *connection) statement(ctx context.Context, text string) (*sql.Stmt, error) {
	if p := c.prepared[text]; p != nil {
		return p, nil
	}
	p, err := c.conn.PrepareContext(ctx, text)
	if err != nil {
		return nil, err
	}
	c.prepared[text] = p
	return p, nil
}

// QueryContext implements runner.
func (c *connection) QueryContext(ctx context.Context, text string, args ...any) (*sql.Rows, error) {
	p, err := c.statement(ctx, text)
	if err != nil {
		return nil, err
	}
	return p.QueryContext(ctx, args...)
}

// ExecContext implements runner.
func (c *connection) ExecContext(ctx context.Context, text string, args ...any) (sql.Result, error) {
	p, err := c.statement(ctx, text)
	if err != nil {
		return nil, err
	}
	return p.ExecContext(ctx, args...)
}

// transact runs do between the start of a transaction and its commit. After an
// error nothing of it is kept, and the next transaction has a new connection, so
// that no half-ended one can be in its way.
func (c *connection) transact(ctx context.Context, do func() error) (err error) {
	if c.conn == nil {
		if c.conn, err = c.pools.Load().Write.Conn(ctx); err != nil {
			return err
		}
		c.prepared = make(map[string]*sql.Stmt)
	}
	defer func() {
		if err != nil {
			c.drop()
		}
	}()
	if _, err := c.ExecContext(ctx, "BEGIN IMMEDIATE"); err != nil {
		return err
	}
	if err := do(); err != nil {
		return err
	}
	_, err = c.ExecContext(ctx, "COMMIT")
	return err
}

// drop ends the connection, and with it the transaction that is open.
func (c *connection) drop() {
	if c.conn == nil {
		return
	}
	for _, p := range c.prepared {
		p.Close()
	}
	c.conn.Raw(func(any) error { return driver.ErrBadConn }) // takes it out of the pool
	c.conn.Close()
	c.conn = nil
}
