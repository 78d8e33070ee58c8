-- +goose Up
-- Texts collate by their bytes, so that both databases give the same order.
CREATE TABLE attempts (
	id         BIGINT GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
	learner    TEXT COLLATE "C" NOT NULL,
	submission TEXT COLLATE "C" NOT NULL,
	lesson     TEXT COLLATE "C" NOT NULL,
	exercise   TEXT COLLATE "C" NOT NULL,
	part       TEXT COLLATE "C" NOT NULL,
	series     BIGINT NOT NULL CHECK (series >= 0),
	attempt_no BIGINT NOT NULL CHECK (attempt_no >= 1),
	answer     TEXT NOT NULL,
	verdict    TEXT NOT NULL,
	slip       TEXT NOT NULL,
	message    TEXT NOT NULL,
	points     DOUBLE PRECISION NOT NULL CHECK (points >= 0),
	free       BIGINT NOT NULL CHECK (free IN (0, 1)),
	variant    TEXT NOT NULL,
	program    TEXT NOT NULL,
	at_us      BIGINT NOT NULL, -- microseconds since 1970, UTC
	UNIQUE (learner, submission),
	UNIQUE (learner, lesson, exercise, part, series, attempt_no)
);

CREATE TABLE predictions (
	id         BIGINT GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
	learner    TEXT COLLATE "C" NOT NULL,
	submission TEXT COLLATE "C" NOT NULL,
	lesson     TEXT COLLATE "C" NOT NULL,
	exercise   TEXT COLLATE "C" NOT NULL,
	part       TEXT COLLATE "C" NOT NULL,
	series     BIGINT NOT NULL CHECK (series >= 0),
	kind       TEXT NOT NULL CHECK (kind IN ('bracket', 'more', 'less', 'same')),
	guess      TEXT NOT NULL,
	low        DOUBLE PRECISION NOT NULL,
	high       DOUBLE PRECISION NOT NULL CHECK (high >= low),
	at_us      BIGINT NOT NULL,
	UNIQUE (learner, submission),
	UNIQUE (learner, lesson, exercise, part, series)
);

CREATE TABLE workings (
	learner  TEXT COLLATE "C" NOT NULL,
	lesson   TEXT COLLATE "C" NOT NULL,
	revision BIGINT NOT NULL CHECK (revision >= 1),
	PRIMARY KEY (learner, lesson)
);

CREATE TABLE edits (
	learner  TEXT COLLATE "C" NOT NULL,
	lesson   TEXT COLLATE "C" NOT NULL,
	kind     TEXT COLLATE "C" NOT NULL CHECK (kind IN ('text', 'value')),
	target   TEXT COLLATE "C" NOT NULL, -- the ID of a cell, or a driven name
	content  TEXT NOT NULL,
	basis    TEXT NOT NULL,
	revision BIGINT NOT NULL,
	at_us    BIGINT NOT NULL,
	PRIMARY KEY (learner, lesson, kind, target),
	FOREIGN KEY (learner, lesson) REFERENCES workings ON DELETE CASCADE
);
