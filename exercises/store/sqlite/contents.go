package sqlite

import (
	"context"
	"database/sql"
	"fmt"
	"strings"
)

// Contents is how many rows each table of a store has, in the order of their
// names.
type Contents []Count

// A Count is the number of rows of a table.
type Count struct {
	Table string
	Rows  int64
}

// Empty reports whether nothing is lost with the store. What a server makes when
// it starts, before anyone has used it, is not counted: its secrets, and the
// link for its first instructor.
func (c Contents) Empty() bool {
	for _, n := range c {
		if n.Rows > 0 && n.Table != "secrets" && n.Table != "links" {
			return false
		}
	}
	return true
}

// String lists the tables that have rows: "attempts 12, edits 3".
func (c Contents) String() string {
	var parts []string
	for _, n := range c {
		if n.Rows > 0 {
			parts = append(parts, fmt.Sprintf("%s %d", n.Table, n.Rows))
		}
	}
	if parts == nil {
		return "nothing yet"
	}
	return strings.Join(parts, ", ")
}

// contentsOf counts the rows of every table but those of SQLite and goose.
func contentsOf(ctx context.Context, db *sql.DB) (Contents, error) {
	rows, err := db.QueryContext(ctx, `SELECT name FROM sqlite_schema
		WHERE type = 'table' AND name NOT LIKE 'sqlite%' AND name NOT LIKE 'goose%' ORDER BY name`)
	if err != nil {
		return nil, wrap(err)
	}
	defer rows.Close()
	var all Contents
	for rows.Next() {
		var c Count
		if err := rows.Scan(&c.Table); err != nil {
			return nil, wrap(err)
		}
		all = append(all, c)
	}
	if err := rows.Err(); err != nil {
		return nil, wrap(err)
	}
	for i := range all {
		quoted := `"` + strings.ReplaceAll(all[i].Table, `"`, `""`) + `"`
		if err := db.QueryRowContext(ctx, "SELECT count(*) FROM "+quoted).Scan(&all[i].Rows); err != nil {
			return nil, wrap(err)
		}
	}
	return all, nil
}
