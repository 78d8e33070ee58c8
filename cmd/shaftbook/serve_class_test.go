package main

import (
	"bufio"
	"context"
	"io"
	"net/http"
	"net/url"
	"strings"
	"testing"
)

// started is a server with classes, with the lines that it printed.
type started struct {
	lines *bufio.Scanner
	stop  func()
}

func startClasses(t *testing.T, args ...string) *started {
	t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	out, in := io.Pipe()
	ended := make(chan error, 1)
	go func() {
		ended <- run(ctx, append([]string{"serve", "--class", "--listen", "127.0.0.1:0"}, args...), in)
		in.Close()
	}()
	s := &started{lines: bufio.NewScanner(out)}
	s.stop = func() {
		cancel()
		go func() { _, _ = io.Copy(io.Discard, out) }()
		if err := <-ended; err != nil {
			t.Error(err)
		}
	}
	return s
}

// line returns the next line that the server prints.
func (s *started) line(t *testing.T) string {
	t.Helper()
	if !s.lines.Scan() {
		t.Fatalf("no more lines: %v", s.lines.Err())
	}
	return s.lines.Text()
}

// The first start prints the link that makes the first instructor; a later one
// prints it no more, and lets in on request who lost the password.
func TestServeClasses(t *testing.T) {
	data := t.TempDir()
	s := startClasses(t, "--data", data)
	address := s.line(t)
	s.line(t) // what the link is for
	link := s.line(t)
	if !strings.HasPrefix(link, address+"link/") {
		t.Fatalf("%q is no link of %s", link, address)
	}
	form := url.Values{"name": {"Instructor 1"}, "signin": {"teach1"}, "password": {"quill before lay shaft"}}
	r, err := http.PostForm(link, form) // without a jar, so it ends at the form to sign in
	if err != nil {
		t.Fatal(err)
	}
	r.Body.Close()
	if r.Request.URL.Path != "/sign-in" || r.StatusCode != http.StatusOK {
		t.Errorf("after the link: %s %s", r.Status, r.Request.URL)
	}
	s.stop()

	s = startClasses(t, "--data", data, "--let-in", "Teach1", "--origin", "https://twist.example")
	defer s.stop()
	s.line(t)
	if words := s.line(t); !strings.HasPrefix(words, "Teach1 ") {
		t.Errorf("the second line is %q", words)
	}
	if link := s.line(t); !strings.HasPrefix(link, "https://twist.example/link/") {
		t.Errorf("the link is %q", link)
	}
}

func TestIsLoopback(t *testing.T) {
	for address, want := range map[string]bool{
		"127.0.0.1:8930": true, "127.3.2.1:0": true, "localhost:8930": true, "[::1]:8930": true,
		":8930": false, "0.0.0.0:8930": false, "[::]:8930": false, "192.0.2.7:8930": false, "twist.example:80": false, "nonsense": false,
	} {
		if got := isLoopback(address); got != want {
			t.Errorf("%s: %v", address, got)
		}
	}
}
