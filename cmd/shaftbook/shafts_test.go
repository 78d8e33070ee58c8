package main

import (
	"bytes"
	"context"
	"errors"
	"strings"
	"testing"
)

// Every check in published.md compares a shaft with a printed value whose
// source is above it.
func TestPublishedShafts(t *testing.T) {
	var out bytes.Buffer
	if err := run(context.Background(), []string{"calc", "testdata/published.md"}, &out); err != nil {
		t.Errorf("%v\n%s", err, out.String())
	}
	if n := strings.Count(out.String(), "→ fails"); n > 0 || !strings.Contains(out.String(), "→ holds") {
		t.Errorf("%d checks fail:\n%s", n, out.String())
	}
	// Singer & Pytel, Prob. 307: 130 mm is too little for both limits.
	if !strings.Contains(out.String(), "it reaches 95.74 MPa") || !strings.Contains(out.String(), "the twist per length exceeds") {
		t.Errorf("the limits of the last shaft are not said to be exceeded:\n%s", out.String())
	}
}

// bad-shafts.md holds shafts that cannot be, one fault a cell, and its golden
// file what is said about each.
func TestBadShafts(t *testing.T) {
	var out bytes.Buffer
	if err := run(context.Background(), []string{"calc", "testdata/bad-shafts.md", "--all"}, &out); !errors.Is(err, errFailed) {
		t.Errorf("ended with %v", err)
	}
	golden(t, "bad-shafts.md.txt", out.Bytes())
}
