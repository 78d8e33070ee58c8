//go:build !(darwin || dragonfly || freebsd || linux || netbsd || openbsd)

package main

import "os"

// lockFile locks nothing: these systems have no lock of whole files that ends with
// the process in the standard library.
func lockFile(*os.File) error { return nil }
