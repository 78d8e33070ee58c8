-- +goose Up
-- How well exercises hold that learners practise; times in microseconds since 1970.
CREATE TABLE practice (
	learner  TEXT COLLATE "C" NOT NULL,
	lesson   TEXT COLLATE "C" NOT NULL,
	exercise TEXT COLLATE "C" NOT NULL,
	box      INTEGER NOT NULL CHECK (box >= 1),
	due_us   BIGINT NOT NULL,
	numbers  BIGINT NOT NULL, -- which numbers were practised last
	at_us    BIGINT NOT NULL,
	PRIMARY KEY (learner, lesson, exercise)
);
