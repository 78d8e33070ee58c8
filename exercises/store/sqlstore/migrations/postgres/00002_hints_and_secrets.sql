-- +goose Up
CREATE TABLE hints (
	learner  TEXT COLLATE "C" NOT NULL,
	lesson   TEXT COLLATE "C" NOT NULL,
	exercise TEXT COLLATE "C" NOT NULL,
	part     TEXT COLLATE "C" NOT NULL,
	series   BIGINT NOT NULL CHECK (series >= 0),
	level    BIGINT NOT NULL CHECK (level >= 1),
	at_us    BIGINT NOT NULL,
	PRIMARY KEY (learner, lesson, exercise, part, series, level)
);

CREATE TABLE secrets (
	name  TEXT COLLATE "C" NOT NULL PRIMARY KEY,
	value TEXT NOT NULL -- hexadecimal
);
