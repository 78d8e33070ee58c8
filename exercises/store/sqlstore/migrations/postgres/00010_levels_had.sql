-- +goose Up
-- Hashes of what a level was last raised for, with blanks between them, so that the same
-- thing sent again does not raise it again.
ALTER TABLE levels ADD COLUMN had TEXT NOT NULL DEFAULT '';
