-- +goose Up
-- An identifier of an answer belongs to one exercise, so both keys begin with lesson
-- and exercise: what a class does at the same time lies on the same pages, and a
-- commit writes few. The first key also finds the answers of a lesson.
-- A key of a table cannot be taken off it, so the rows move; their numbers stay.
CREATE TABLE attempts_moved (
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
	reading    TEXT NOT NULL DEFAULT '',
	checksum   TEXT NOT NULL DEFAULT '',
	UNIQUE (lesson, exercise, learner, part, series, attempt_no),
	UNIQUE (lesson, exercise, learner, submission)
) STRICT;
INSERT INTO attempts_moved (id, learner, submission, lesson, exercise, part, series, attempt_no,
	answer, verdict, slip, message, points, free, variant, program, at_us, reading, checksum)
SELECT id, learner, submission, lesson, exercise, part, series, attempt_no,
	answer, verdict, slip, message, points, free, variant, program, at_us, reading, checksum
FROM attempts ORDER BY id;
DROP TABLE attempts;
ALTER TABLE attempts_moved RENAME TO attempts;
