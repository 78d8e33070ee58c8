-- +goose Up
-- How well exercises hold that learners practise; times in microseconds since 1970.
CREATE TABLE practice (
	learner  TEXT NOT NULL,
	lesson   TEXT NOT NULL,
	exercise TEXT NOT NULL,
	box      INTEGER NOT NULL CHECK (box >= 1),
	due_us   INTEGER NOT NULL,
	numbers  INTEGER NOT NULL, -- which numbers were practised last
	at_us    INTEGER NOT NULL,
	PRIMARY KEY (learner, lesson, exercise)
) STRICT, WITHOUT ROWID;
