-- +goose Up
CREATE TABLE people (
	id         TEXT COLLATE "C" NOT NULL PRIMARY KEY,
	name       TEXT COLLATE "C" NOT NULL,
	sign_in    TEXT COLLATE "C" NOT NULL, -- as it was given
	folded     TEXT COLLATE "C" NOT NULL, -- as it is compared
	email      TEXT COLLATE "C" NOT NULL,
	sourced_id TEXT COLLATE "C" NOT NULL,
	instructor BIGINT NOT NULL CHECK (instructor IN (0, 1)),
	password   TEXT COLLATE "C" NOT NULL,
	feed       TEXT COLLATE "C" NOT NULL,
	made_us    BIGINT NOT NULL
);
CREATE UNIQUE INDEX people_folded ON people (folded) WHERE folded <> '';
CREATE UNIQUE INDEX people_sourced ON people (sourced_id) WHERE sourced_id <> '';
CREATE INDEX people_feed ON people (feed) WHERE feed <> '';

CREATE TABLE sessions (
	hash    TEXT COLLATE "C" NOT NULL PRIMARY KEY,
	person  TEXT COLLATE "C" NOT NULL REFERENCES people ON DELETE CASCADE,
	made_us BIGINT NOT NULL,
	seen_us BIGINT NOT NULL,
	ends_us BIGINT NOT NULL
);
CREATE INDEX sessions_person ON sessions (person);

CREATE TABLE links (
	hash    TEXT COLLATE "C" NOT NULL PRIMARY KEY,
	purpose TEXT COLLATE "C" NOT NULL CHECK (purpose IN ('set-up', 'colleague', 'entry')),
	person  TEXT COLLATE "C" NOT NULL, -- empty but for an entry
	class   TEXT COLLATE "C" NOT NULL,
	made_by TEXT COLLATE "C" NOT NULL,
	made_us BIGINT NOT NULL,
	ends_us BIGINT NOT NULL
);
CREATE INDEX links_person ON links (person);

CREATE TABLE classes (
	id        TEXT COLLATE "C" NOT NULL PRIMARY KEY,
	name      TEXT COLLATE "C" NOT NULL,
	term      TEXT COLLATE "C" NOT NULL,
	zone      TEXT COLLATE "C" NOT NULL,
	join_code TEXT COLLATE "C" NOT NULL,
	made_us   BIGINT NOT NULL
);
CREATE UNIQUE INDEX classes_code ON classes (join_code) WHERE join_code <> '';

CREATE TABLE members (
	class    TEXT COLLATE "C" NOT NULL REFERENCES classes,
	person   TEXT COLLATE "C" NOT NULL REFERENCES people,
	role     TEXT COLLATE "C" NOT NULL CHECK (role IN ('student', 'staff')),
	section  TEXT COLLATE "C" NOT NULL,
	gone     BIGINT NOT NULL CHECK (gone IN (0, 1)),
	since_us BIGINT NOT NULL,
	PRIMARY KEY (class, person)
);
CREATE INDEX members_person ON members (person);

CREATE TABLE texts (
	hash    TEXT COLLATE "C" NOT NULL PRIMARY KEY,
	name    TEXT COLLATE "C" NOT NULL,
	content TEXT COLLATE "C" NOT NULL
);

CREATE TABLE assignments (
	id         TEXT COLLATE "C" NOT NULL PRIMARY KEY,
	class      TEXT COLLATE "C" NOT NULL REFERENCES classes,
	title      TEXT COLLATE "C" NOT NULL,
	lesson     TEXT COLLATE "C" NOT NULL,
	text_hash  TEXT COLLATE "C" NOT NULL REFERENCES texts,
	exercises  TEXT COLLATE "C" NOT NULL, -- a JSON array
	opens_us   BIGINT NOT NULL,
	due_us     BIGINT NOT NULL,
	closes_us  BIGINT NOT NULL,
	zone       TEXT COLLATE "C" NOT NULL,
	late_off   DOUBLE PRECISION NOT NULL,
	tries      BIGINT NOT NULL,
	try_off    DOUBLE PRECISION NOT NULL,
	weight     DOUBLE PRECISION NOT NULL,
	withdrawn  BIGINT NOT NULL CHECK (withdrawn IN (0, 1)),
	revision   BIGINT NOT NULL CHECK (revision >= 0),
	made_us    BIGINT NOT NULL,
	changed_us BIGINT NOT NULL
);
CREATE INDEX assignments_class ON assignments (class);

CREATE TABLE extensions (
	assignment TEXT COLLATE "C" NOT NULL REFERENCES assignments,
	person     TEXT COLLATE "C" NOT NULL REFERENCES people,
	due_us     BIGINT NOT NULL,
	closes_us  BIGINT NOT NULL,
	reason     TEXT COLLATE "C" NOT NULL,
	made_by    TEXT COLLATE "C" NOT NULL,
	at_us      BIGINT NOT NULL,
	PRIMARY KEY (assignment, person)
);
CREATE INDEX extensions_person ON extensions (person);

CREATE TABLE overrides (
	id         BIGINT GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
	assignment TEXT COLLATE "C" NOT NULL REFERENCES assignments,
	person     TEXT COLLATE "C" NOT NULL REFERENCES people,
	exercise   TEXT COLLATE "C" NOT NULL,
	withdrawn  BIGINT NOT NULL CHECK (withdrawn IN (0, 1)),
	points     DOUBLE PRECISION NOT NULL CHECK (points >= 0),
	reason     TEXT COLLATE "C" NOT NULL,
	made_by    TEXT COLLATE "C" NOT NULL,
	at_us      BIGINT NOT NULL
);
CREATE INDEX overrides_assignment ON overrides (assignment);
CREATE INDEX overrides_person ON overrides (person);

-- Attempts as they stood before they were marked again.
CREATE TABLE remarked (
	id         BIGINT GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
	learner    TEXT COLLATE "C" NOT NULL,
	submission TEXT COLLATE "C" NOT NULL,
	lesson     TEXT COLLATE "C" NOT NULL,
	exercise   TEXT COLLATE "C" NOT NULL,
	part       TEXT COLLATE "C" NOT NULL,
	series     BIGINT NOT NULL,
	attempt_no BIGINT NOT NULL,
	answer     TEXT COLLATE "C" NOT NULL,
	verdict    TEXT COLLATE "C" NOT NULL,
	slip       TEXT COLLATE "C" NOT NULL,
	message    TEXT COLLATE "C" NOT NULL,
	points     DOUBLE PRECISION NOT NULL,
	free       BIGINT NOT NULL,
	variant    TEXT COLLATE "C" NOT NULL,
	program    TEXT COLLATE "C" NOT NULL,
	at_us      BIGINT NOT NULL,
	until_us   BIGINT NOT NULL -- when it was marked again
);
CREATE INDEX remarked_lesson ON remarked (lesson);
CREATE INDEX remarked_learner ON remarked (learner);

CREATE TABLE entries (
	id         BIGINT GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
	class      TEXT COLLATE "C" NOT NULL,
	made_by    TEXT COLLATE "C" NOT NULL,
	at_us      BIGINT NOT NULL,
	action     TEXT COLLATE "C" NOT NULL,
	about      TEXT COLLATE "C" NOT NULL,
	assignment TEXT COLLATE "C" NOT NULL,
	exercise   TEXT COLLATE "C" NOT NULL,
	detail     TEXT COLLATE "C" NOT NULL
);
CREATE INDEX entries_class ON entries (class, id);
CREATE INDEX entries_about ON entries (about);

CREATE TABLE presences (
	person TEXT COLLATE "C" NOT NULL,
	lesson TEXT COLLATE "C" NOT NULL,
	place  TEXT COLLATE "C" NOT NULL,
	at_us  BIGINT NOT NULL,
	PRIMARY KEY (lesson, person)
);
CREATE INDEX presences_person ON presences (person);

CREATE INDEX attempts_lesson ON attempts (lesson, id);
CREATE INDEX predictions_lesson ON predictions (lesson, id);
CREATE INDEX hints_lesson ON hints (lesson, at_us);
