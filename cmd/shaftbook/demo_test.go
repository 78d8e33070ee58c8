package main

import (
	"bufio"
	"context"
	"io"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"shaftbook/exercises/store/sqlite"
)

// The person who runs the demo signs in with what it prints, as the instructor and as a
// student, and finds the pages that it names.
func TestDemo(t *testing.T) {
	if testing.Short() {
		t.Skip("makes a class")
	}
	data := filepath.Join(t.TempDir(), "mill")
	ctx, stop := context.WithCancel(t.Context())
	defer stop()
	out, in := io.Pipe()
	ended := make(chan error, 1)
	go func() {
		ended <- run(ctx, []string{"demo", "--listen", "127.0.0.1:0", "--students", "8", "--data", data}, in)
		in.Close()
	}()
	var said strings.Builder
	lines := bufio.NewScanner(out)
	for !strings.Contains(said.String(), "Ctrl+C") && lines.Scan() {
		said.WriteString(lines.Text() + "\n")
	}
	found := regexp.MustCompile(`(http\S+)sign-in .* (\S+)\n`).FindStringSubmatch(said.String())
	if found == nil {
		t.Fatalf("it says\n%s", said.String())
	}
	base, word := found[1], found[2]
	for _, c := range []struct{ who, page, status string }{
		{"instructor", `/class/[^/\s]+\n`, "200 OK"},
		{"instructor", "/room/", "200 OK"},
		{"student01", "/lesson/", "200 OK"},
		{"student02", "/lesson/", "200 OK"},
		{"student02", `/class/[^/\s]+\n`, "404 Not Found"},
	} {
		t.Run(c.who+" and "+c.page, func(t *testing.T) {
			jar, _ := cookiejar.New(nil) // fails with a wrong list only, and has none
			client := &http.Client{Jar: jar}
			if r := fetched(t)(client.PostForm(base+"sign-in", url.Values{"name": {c.who}, "password": {word}})); r.StatusCode != http.StatusOK {
				t.Fatalf("signing in: %s", r.Status)
			}
			address := strings.TrimSpace(regexp.MustCompile(`\S+` + c.page + `\S*`).FindString(said.String()))
			if r := fetched(t)(client.Get(address)); r.Status != c.status {
				t.Errorf("%s answers %s, want %s", address, r.Status, c.status)
			}
		})
	}
	stop()
	if err := <-ended; err != nil {
		t.Error(err)
	}
	if _, err := os.Stat(sqlite.FileIn(data)); err != nil {
		t.Errorf("the class that was to be kept is not there: %v", err)
	}
	err := run(t.Context(), []string{"demo", "--listen", "127.0.0.1:0", "--data", data}, io.Discard)
	if err == nil || !strings.Contains(err.Error(), "work in "+data) {
		t.Errorf("a second class in the same folder: %v", err)
	}
}

// fetched returns an answer whose body is done with.
func fetched(t *testing.T) func(r *http.Response, err error) *http.Response {
	return func(r *http.Response, err error) *http.Response {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		r.Body.Close()
		return r
	}
}

// Without --data nothing is left behind, and no other folder is looked into.
func TestDemoLeavesNothing(t *testing.T) {
	dir := t.TempDir()
	for _, name := range []string{"TMPDIR", "HOME", "XDG_DATA_HOME"} {
		t.Setenv(name, dir)
	}
	ctx, stop := context.WithCancel(t.Context())
	defer stop()
	out := stopAt{"Ctrl+C", stop}
	if err := run(ctx, []string{"demo", "--listen", "127.0.0.1:0", "--students", "8", "--still"}, out); err != nil {
		t.Error(err)
	}
	left, err := os.ReadDir(dir)
	if err != nil || len(left) > 0 {
		t.Errorf("%v is left, %v", left, err)
	}
}

// A stopAt stops something when words are written to it.
type stopAt struct {
	words string
	stop  func()
}

func (s stopAt) Write(b []byte) (int, error) {
	if strings.Contains(string(b), s.words) {
		s.stop()
	}
	return len(b), nil
}

func TestDemoRefuses(t *testing.T) {
	for _, c := range []struct {
		name string
		args []string
		want string
	}{
		{"all of the network", []string{"--listen", ":8930"}, "from other machines"},
		{"another address", []string{"--listen", "192.0.2.1:8930"}, "from other machines"},
		{"too few students", []string{"--students", "3"}, errUsage.Error()},
		{"too many students", []string{"--students", "100"}, errUsage.Error()},
		{"an argument that is no flag", []string{"mill"}, errUsage.Error()},
	} {
		t.Run(c.name, func(t *testing.T) {
			err := run(t.Context(), append([]string{"demo"}, c.args...), io.Discard)
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("error %v, want one with %q", err, c.want)
			}
		})
	}
}
