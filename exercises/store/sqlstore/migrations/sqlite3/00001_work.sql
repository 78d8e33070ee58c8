-- +goose Up
-- The number by which a file is known to be ours: the letters SHFT.
PRAGMA application_id = 1397245524;

CREATE TABLE attempts (
	id         INTEGER PRIMARY KEY,
	learner    TEXT NOT NULL,
	submission TEXT NOT NULL,
	lesson     TEXT NOT NULL,
	exercise   TEXT NOT NULL,
	part       TEXT NOT NULL,
	series     INTEGER NOT NULL CHECK (series >= 0),
	attempt_no INTEGER NOT NULL CHECK (attempt_no >= 1),
	answer     TEXT NOT NULL,
	verdict    TEXT NOT NULL,
	slip       TEXT NOT NULL,
	message    TEXT NOT NULL,
	points     REAL NOT NULL CHECK (points >= 0),
	free       INTEGER NOT NULL CHECK (free IN (0, 1)),
	variant    TEXT NOT NULL,
	program    TEXT NOT NULL,
	at_us      INTEGER NOT NULL, -- microseconds since 1970, UTC
	UNIQUE (learner, submission),
	UNIQUE (learner, lesson, exercise, part, series, attempt_no)
) STRICT;

CREATE TABLE predictions (
	id         INTEGER PRIMARY KEY,
	learner    TEXT NOT NULL,
	submission TEXT NOT NULL,
	lesson     TEXT NOT NULL,
	exercise   TEXT NOT NULL,
	part       TEXT NOT NULL,
	series     INTEGER NOT NULL CHECK (series >= 0),
	kind       TEXT NOT NULL CHECK (kind IN ('bracket', 'more', 'less', 'same')),
	guess      TEXT NOT NULL,
	low        REAL NOT NULL,
	high       REAL NOT NULL CHECK (high >= low),
	at_us      INTEGER NOT NULL,
	UNIQUE (learner, submission),
	UNIQUE (learner, lesson, exercise, part, series)
) STRICT;

CREATE TABLE workings (
	learner  TEXT NOT NULL,
	lesson   TEXT NOT NULL,
	revision INTEGER NOT NULL CHECK (revision >= 1),
	PRIMARY KEY (learner, lesson)
) STRICT, WITHOUT ROWID;

CREATE TABLE edits (
	learner  TEXT NOT NULL,
	lesson   TEXT NOT NULL,
	kind     TEXT NOT NULL CHECK (kind IN ('text', 'value')),
	target   TEXT NOT NULL, -- the ID of a cell, or a driven name
	content  TEXT NOT NULL,
	basis    TEXT NOT NULL,
	revision INTEGER NOT NULL,
	at_us    INTEGER NOT NULL,
	PRIMARY KEY (learner, lesson, kind, target),
	FOREIGN KEY (learner, lesson) REFERENCES workings ON DELETE CASCADE
) STRICT;
