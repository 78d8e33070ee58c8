-- +goose Up
CREATE TABLE hints (
	learner  TEXT NOT NULL,
	lesson   TEXT NOT NULL,
	exercise TEXT NOT NULL,
	part     TEXT NOT NULL,
	series   INTEGER NOT NULL CHECK (series >= 0),
	level    INTEGER NOT NULL CHECK (level >= 1),
	at_us    INTEGER NOT NULL,
	PRIMARY KEY (learner, lesson, exercise, part, series, level)
) STRICT;

CREATE TABLE secrets (
	name  TEXT NOT NULL PRIMARY KEY,
	value TEXT NOT NULL -- hexadecimal
) STRICT;
