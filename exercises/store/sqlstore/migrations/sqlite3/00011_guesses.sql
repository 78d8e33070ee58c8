-- +goose Up
-- The guesses of lessons are predictions of further kinds. Which kinds there are the
-- program checks before it writes. A check of a table cannot be taken off it, so the
-- rows move; their numbers stay.
CREATE TABLE predictions_moved (
	id         INTEGER PRIMARY KEY,
	learner    TEXT NOT NULL,
	submission TEXT NOT NULL,
	lesson     TEXT NOT NULL,
	exercise   TEXT NOT NULL,
	part       TEXT NOT NULL,
	series     INTEGER NOT NULL CHECK (series >= 0),
	kind       TEXT NOT NULL,
	guess      TEXT NOT NULL,
	low        REAL NOT NULL,
	high       REAL NOT NULL CHECK (high >= low),
	at_us      INTEGER NOT NULL, -- microseconds since 1970, UTC
	UNIQUE (learner, submission),
	UNIQUE (learner, lesson, exercise, part, series)
) STRICT;
INSERT INTO predictions_moved (id, learner, submission, lesson, exercise, part, series, kind, guess, low, high, at_us)
SELECT id, learner, submission, lesson, exercise, part, series, kind, guess, low, high, at_us
FROM predictions ORDER BY id;
DROP TABLE predictions;
ALTER TABLE predictions_moved RENAME TO predictions;
CREATE INDEX predictions_lesson ON predictions (lesson, id);
