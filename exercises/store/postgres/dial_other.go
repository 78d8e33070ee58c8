//go:build !linux

package postgres

import "syscall"

// limitSilence sets nothing: these systems have no such limit under one name.
func limitSilence(string, string, syscall.RawConn) error { return nil }
