-- +goose Up
-- Pages of a learner's own: the whole document, and some of its earlier texts.
CREATE TABLE pages (
	learner    TEXT COLLATE "C" NOT NULL,
	page       TEXT COLLATE "C" NOT NULL,
	name       TEXT NOT NULL,
	kind       TEXT NOT NULL,
	content    TEXT NOT NULL,
	revision   BIGINT NOT NULL CHECK (revision >= 1),
	writer     TEXT NOT NULL,
	made_us    BIGINT NOT NULL, -- microseconds since 1970, UTC
	changed_us BIGINT NOT NULL,
	deleted_us BIGINT NOT NULL, -- 0 unless the page was deleted
	PRIMARY KEY (learner, page)
);

CREATE TABLE page_versions (
	learner  TEXT COLLATE "C" NOT NULL,
	page     TEXT COLLATE "C" NOT NULL,
	revision BIGINT NOT NULL,
	name     TEXT NOT NULL,
	content  TEXT NOT NULL,
	reason   TEXT NOT NULL CHECK (reason IN ('replaced', 'earlier')),
	at_us    BIGINT NOT NULL,
	PRIMARY KEY (learner, page, revision),
	FOREIGN KEY (learner, page) REFERENCES pages ON DELETE CASCADE
);
