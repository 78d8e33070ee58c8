package main

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// The command of the systemd unit is one that serve takes: only the addresses and
// the folder are others here.
func TestTheUnitStartsAServer(t *testing.T) {
	unit, err := os.ReadFile(filepath.Join("deploy", "shaftbook.service"))
	if err != nil {
		t.Fatal(err)
	}
	var args []string
	for line := range strings.Lines(string(unit)) {
		if command, found := strings.CutPrefix(line, "ExecStart="); found {
			args = strings.Fields(command)[1:]
		}
	}
	for i, arg := range args {
		switch arg {
		case "--listen":
			args[i+1] = "203.0.113.1:8930" // not of this machine (RFC 5737)
		case "--metrics":
			args[i+1] = "127.0.0.1:0"
		case "--data":
			args[i+1] = t.TempDir()
		}
	}
	err = run(t.Context(), args, io.Discard)
	if err == nil || errors.Is(err, errUsage) || !strings.Contains(err.Error(), "cannot listen on 203.0.113.1:8930") {
		t.Errorf("%v: %v, want it to get as far as an address that is not this machine’s", args, err)
	}
}
