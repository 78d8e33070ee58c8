-- +goose Up
-- Pages of a learner's own: the whole document, and some of its earlier texts.
CREATE TABLE pages (
	learner    TEXT NOT NULL,
	page       TEXT NOT NULL,
	name       TEXT NOT NULL,
	kind       TEXT NOT NULL,
	content    TEXT NOT NULL,
	revision   INTEGER NOT NULL CHECK (revision >= 1),
	writer     TEXT NOT NULL,
	made_us    INTEGER NOT NULL, -- microseconds since 1970, UTC
	changed_us INTEGER NOT NULL,
	deleted_us INTEGER NOT NULL, -- 0 unless the page was deleted
	PRIMARY KEY (learner, page)
) STRICT;

CREATE TABLE page_versions (
	learner  TEXT NOT NULL,
	page     TEXT NOT NULL,
	revision INTEGER NOT NULL,
	name     TEXT NOT NULL,
	content  TEXT NOT NULL,
	reason   TEXT NOT NULL CHECK (reason IN ('replaced', 'earlier')),
	at_us    INTEGER NOT NULL,
	PRIMARY KEY (learner, page, revision),
	FOREIGN KEY (learner, page) REFERENCES pages ON DELETE CASCADE
) STRICT;
