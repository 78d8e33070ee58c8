-- +goose Up
-- Links that show a page, named by the hash of their secret; times in microseconds since 1970, UTC.
CREATE TABLE shares (
	hash    TEXT PRIMARY KEY,
	id      TEXT NOT NULL UNIQUE, -- names the link and opens nothing
	learner TEXT NOT NULL,
	page    TEXT NOT NULL,
	by_name TEXT NOT NULL, -- the name that is shown, or empty
	made_us INTEGER NOT NULL,
	ends_us INTEGER NOT NULL, -- 0 never
	FOREIGN KEY (learner, page) REFERENCES pages ON DELETE CASCADE
) STRICT;
CREATE INDEX shares_of_page ON shares (learner, page);

-- Pages that a student shows to the instructors of a class.
CREATE TABLE shown_pages (
	class   TEXT NOT NULL REFERENCES classes,
	learner TEXT NOT NULL,
	page    TEXT NOT NULL,
	at_us   INTEGER NOT NULL,
	PRIMARY KEY (class, learner, page),
	FOREIGN KEY (learner, page) REFERENCES pages ON DELETE CASCADE
) STRICT;
CREATE INDEX shown_of_page ON shown_pages (learner, page);

-- What instructors answer beside a block of such a page.
CREATE TABLE page_notes (
	id      TEXT PRIMARY KEY,
	class   TEXT NOT NULL REFERENCES classes,
	learner TEXT NOT NULL,
	page    TEXT NOT NULL,
	block   TEXT NOT NULL, -- hash of the block's text when the note was written
	quote   TEXT NOT NULL, -- the beginning of that text
	content TEXT NOT NULL,
	made_by TEXT NOT NULL,
	at_us   INTEGER NOT NULL,
	FOREIGN KEY (learner, page) REFERENCES pages ON DELETE CASCADE
) STRICT;
CREATE INDEX notes_of_page ON page_notes (learner, page);
