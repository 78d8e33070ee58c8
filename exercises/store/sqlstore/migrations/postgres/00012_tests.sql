-- +goose Up
-- Whether an assignment is a test, in which no practice is offered before it closes.
ALTER TABLE assignments ADD COLUMN is_test INTEGER NOT NULL DEFAULT 0;
