-- +goose Up
-- Who was deleted for good, so that nothing is kept that was on its way then.
-- The hash is of an identifier that was drawn by chance and stands nowhere else.
CREATE TABLE erased (
	hash TEXT NOT NULL PRIMARY KEY -- SHA-256, hexadecimal
) STRICT, WITHOUT ROWID;
