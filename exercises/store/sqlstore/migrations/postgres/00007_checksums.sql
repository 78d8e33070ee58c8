-- +goose Up
-- A checksum over what the row holds; empty in rows that were kept before.
ALTER TABLE attempts ADD COLUMN checksum TEXT NOT NULL DEFAULT '';
ALTER TABLE remarked ADD COLUMN checksum TEXT NOT NULL DEFAULT '';
ALTER TABLE entries ADD COLUMN checksum TEXT NOT NULL DEFAULT '';
