-- +goose Up
-- Lessons while instructors write them: each person's own draft.
CREATE TABLE lesson_drafts (
	person     TEXT COLLATE "C" NOT NULL,
	lesson     TEXT COLLATE "C" NOT NULL,
	content    TEXT NOT NULL,
	base       TEXT NOT NULL,    -- the text of the file from which the draft was begun
	on_file    INTEGER NOT NULL, -- 1 if there was such a file
	revision   BIGINT NOT NULL CHECK (revision >= 1),
	writer     TEXT NOT NULL,
	changed_us BIGINT NOT NULL, -- microseconds since 1970, UTC
	PRIMARY KEY (person, lesson)
);

-- Texts that a lesson's file had, and drafts that another window replaced.
CREATE TABLE lesson_versions (
	lesson  TEXT COLLATE "C" NOT NULL,
	number  BIGINT NOT NULL CHECK (number >= 1),
	person  TEXT COLLATE "C" NOT NULL, -- empty where nobody of the server wrote it
	reason  TEXT NOT NULL CHECK (reason IN ('published', 'found', 'draft')),
	content TEXT NOT NULL,
	at_us   BIGINT NOT NULL,
	PRIMARY KEY (lesson, number)
);

-- The images of lessons as they were given to a class.
CREATE TABLE text_images (
	hash    TEXT COLLATE "C" NOT NULL, -- of the frozen text with its images
	name    TEXT COLLATE "C" NOT NULL,
	content BYTEA NOT NULL,
	PRIMARY KEY (hash, name)
);
