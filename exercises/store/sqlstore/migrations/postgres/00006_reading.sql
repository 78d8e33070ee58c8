-- +goose Up
-- How an answer was read, in the notation; empty where it was not, and of answers
-- that were kept before.
ALTER TABLE attempts ADD COLUMN reading TEXT NOT NULL DEFAULT '';
ALTER TABLE remarked ADD COLUMN reading TEXT NOT NULL DEFAULT '';
