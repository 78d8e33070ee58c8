//go:build !linux

package sqlite

func syncData() {}
