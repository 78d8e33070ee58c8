-- +goose Up
-- How often something was tried by each key, of which only a hash is kept; times in
-- microseconds, 0 for none. From gone_us on a row says nothing more.
CREATE TABLE levels (
	hash     TEXT NOT NULL PRIMARY KEY,
	much     REAL NOT NULL,
	at_us    INTEGER NOT NULL,
	until_us INTEGER NOT NULL,
	gone_us  INTEGER NOT NULL
) STRICT, WITHOUT ROWID;
CREATE INDEX levels_gone ON levels (gone_us);
