-- +goose Up
-- How often something was tried by each key, of which only a hash is kept; times in
-- microseconds, 0 for none. From gone_us on a row says nothing more.
CREATE TABLE levels (
	hash     TEXT PRIMARY KEY,
	much     DOUBLE PRECISION NOT NULL,
	at_us    BIGINT NOT NULL,
	until_us BIGINT NOT NULL,
	gone_us  BIGINT NOT NULL
);
CREATE INDEX levels_gone ON levels (gone_us);
