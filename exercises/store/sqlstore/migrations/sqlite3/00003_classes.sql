-- +goose Up
CREATE TABLE people (
	id         TEXT NOT NULL PRIMARY KEY,
	name       TEXT NOT NULL,
	sign_in    TEXT NOT NULL, -- as it was given
	folded     TEXT NOT NULL, -- as it is compared
	email      TEXT NOT NULL,
	sourced_id TEXT NOT NULL,
	instructor INTEGER NOT NULL CHECK (instructor IN (0, 1)),
	password   TEXT NOT NULL,
	feed       TEXT NOT NULL,
	made_us    INTEGER NOT NULL
) STRICT;
CREATE UNIQUE INDEX people_folded ON people (folded) WHERE folded <> '';
CREATE UNIQUE INDEX people_sourced ON people (sourced_id) WHERE sourced_id <> '';
CREATE INDEX people_feed ON people (feed) WHERE feed <> '';

CREATE TABLE sessions (
	hash    TEXT NOT NULL PRIMARY KEY,
	person  TEXT NOT NULL REFERENCES people ON DELETE CASCADE,
	made_us INTEGER NOT NULL,
	seen_us INTEGER NOT NULL,
	ends_us INTEGER NOT NULL
) STRICT;
CREATE INDEX sessions_person ON sessions (person);

CREATE TABLE links (
	hash    TEXT NOT NULL PRIMARY KEY,
	purpose TEXT NOT NULL CHECK (purpose IN ('set-up', 'colleague', 'entry')),
	person  TEXT NOT NULL, -- empty but for an entry
	class   TEXT NOT NULL,
	made_by TEXT NOT NULL,
	made_us INTEGER NOT NULL,
	ends_us INTEGER NOT NULL
) STRICT;
CREATE INDEX links_person ON links (person);

CREATE TABLE classes (
	id        TEXT NOT NULL PRIMARY KEY,
	name      TEXT NOT NULL,
	term      TEXT NOT NULL,
	zone      TEXT NOT NULL,
	join_code TEXT NOT NULL,
	made_us   INTEGER NOT NULL
) STRICT;
CREATE UNIQUE INDEX classes_code ON classes (join_code) WHERE join_code <> '';

CREATE TABLE members (
	class    TEXT NOT NULL REFERENCES classes,
	person   TEXT NOT NULL REFERENCES people,
	role     TEXT NOT NULL CHECK (role IN ('student', 'staff')),
	section  TEXT NOT NULL,
	gone     INTEGER NOT NULL CHECK (gone IN (0, 1)),
	since_us INTEGER NOT NULL,
	PRIMARY KEY (class, person)
) STRICT;
CREATE INDEX members_person ON members (person);

CREATE TABLE texts (
	hash    TEXT NOT NULL PRIMARY KEY,
	name    TEXT NOT NULL,
	content TEXT NOT NULL
) STRICT;

CREATE TABLE assignments (
	id         TEXT NOT NULL PRIMARY KEY,
	class      TEXT NOT NULL REFERENCES classes,
	title      TEXT NOT NULL,
	lesson     TEXT NOT NULL,
	text_hash  TEXT NOT NULL REFERENCES texts,
	exercises  TEXT NOT NULL, -- a JSON array
	opens_us   INTEGER NOT NULL,
	due_us     INTEGER NOT NULL,
	closes_us  INTEGER NOT NULL,
	zone       TEXT NOT NULL,
	late_off   REAL NOT NULL,
	tries      INTEGER NOT NULL,
	try_off    REAL NOT NULL,
	weight     REAL NOT NULL,
	withdrawn  INTEGER NOT NULL CHECK (withdrawn IN (0, 1)),
	revision   INTEGER NOT NULL CHECK (revision >= 0),
	made_us    INTEGER NOT NULL,
	changed_us INTEGER NOT NULL
) STRICT;
CREATE INDEX assignments_class ON assignments (class);

CREATE TABLE extensions (
	assignment TEXT NOT NULL REFERENCES assignments,
	person     TEXT NOT NULL REFERENCES people,
	due_us     INTEGER NOT NULL,
	closes_us  INTEGER NOT NULL,
	reason     TEXT NOT NULL,
	made_by    TEXT NOT NULL,
	at_us      INTEGER NOT NULL,
	PRIMARY KEY (assignment, person)
) STRICT;
CREATE INDEX extensions_person ON extensions (person);

CREATE TABLE overrides (
	id         INTEGER PRIMARY KEY,
	assignment TEXT NOT NULL REFERENCES assignments,
	person     TEXT NOT NULL REFERENCES people,
	exercise   TEXT NOT NULL,
	withdrawn  INTEGER NOT NULL CHECK (withdrawn IN (0, 1)),
	points     REAL NOT NULL CHECK (points >= 0),
	reason     TEXT NOT NULL,
	made_by    TEXT NOT NULL,
	at_us      INTEGER NOT NULL
) STRICT;
CREATE INDEX overrides_assignment ON overrides (assignment);
CREATE INDEX overrides_person ON overrides (person);

-- Attempts as they stood before they were marked again.
CREATE TABLE remarked (
	id         INTEGER PRIMARY KEY,
	learner    TEXT NOT NULL,
	submission TEXT NOT NULL,
	lesson     TEXT NOT NULL,
	exercise   TEXT NOT NULL,
	part       TEXT NOT NULL,
	series     INTEGER NOT NULL,
	attempt_no INTEGER NOT NULL,
	answer     TEXT NOT NULL,
	verdict    TEXT NOT NULL,
	slip       TEXT NOT NULL,
	message    TEXT NOT NULL,
	points     REAL NOT NULL,
	free       INTEGER NOT NULL,
	variant    TEXT NOT NULL,
	program    TEXT NOT NULL,
	at_us      INTEGER NOT NULL,
	until_us   INTEGER NOT NULL -- when it was marked again
) STRICT;
CREATE INDEX remarked_lesson ON remarked (lesson);
CREATE INDEX remarked_learner ON remarked (learner);

CREATE TABLE entries (
	id         INTEGER PRIMARY KEY,
	class      TEXT NOT NULL,
	made_by    TEXT NOT NULL,
	at_us      INTEGER NOT NULL,
	action     TEXT NOT NULL,
	about      TEXT NOT NULL,
	assignment TEXT NOT NULL,
	exercise   TEXT NOT NULL,
	detail     TEXT NOT NULL
) STRICT;
CREATE INDEX entries_class ON entries (class, id);
CREATE INDEX entries_about ON entries (about);

CREATE TABLE presences (
	person TEXT NOT NULL,
	lesson TEXT NOT NULL,
	place  TEXT NOT NULL,
	at_us  INTEGER NOT NULL,
	PRIMARY KEY (lesson, person)
) STRICT;
CREATE INDEX presences_person ON presences (person);

CREATE INDEX attempts_lesson ON attempts (lesson, id);
CREATE INDEX predictions_lesson ON predictions (lesson, id);
CREATE INDEX hints_lesson ON hints (lesson, at_us);
