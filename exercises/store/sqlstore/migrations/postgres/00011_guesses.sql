-- +goose Up
-- The guesses of lessons are predictions of further kinds. Which kinds there are the
-- program checks before it writes.
ALTER TABLE predictions DROP CONSTRAINT predictions_kind_check;
