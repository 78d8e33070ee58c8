package main

import (
	"bufio"
	"context"
	"errors"
	"io"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"shaftbook/exercises/store/sqlite"
)

func TestServePrintsOneLineAndEndsInGoodOrder(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	out, in := io.Pipe()
	ended := make(chan error, 1)
	go func() {
		ended <- run(ctx, []string{"serve", "--listen", "127.0.0.1:0", "--data", filepath.Join(t.TempDir(), "data")}, in)
		in.Close()
	}()
	lines := bufio.NewScanner(out)
	if !lines.Scan() {
		t.Fatalf("no line came: %v", <-ended)
	}
	address := lines.Text()
	r, err := http.Get(address)
	if err != nil {
		t.Fatalf("the line %q is not an address to open: %v", address, err)
	}
	body, err := io.ReadAll(r.Body)
	r.Body.Close()
	if err != nil || !strings.Contains(string(body), "/lesson/") {
		t.Errorf("the shelf holds no lesson (%v):\n%.300s", err, body)
	}
	stop()
	if lines.Scan() {
		t.Errorf("a second line came: %q", lines.Text())
	}
	if err := <-ended; err != nil {
		t.Errorf("serving ended with %v", err)
	}
}

// TestServeFollowsItsFolder: readers see a lesson that is saved while the server runs,
// without a restart, and the shelf loses one that is deleted.
func TestServeFollowsItsFolder(t *testing.T) {
	folder := t.TempDir()
	save := func(name, text string) {
		t.Helper()
		if err := os.WriteFile(filepath.Join(folder, name), []byte("---\ntitle: Of the brush shaft\norder: 1\nsummary: A shaft.\nminutes: 2\n---\n\n"+text+"\n"), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	save("brush.md", "It is made of alder.")
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	out, in := io.Pipe()
	ended := make(chan error, 1)
	go func() {
		ended <- run(ctx, []string{"serve", "--listen", "127.0.0.1:0", "--data", filepath.Join(t.TempDir(), "data"), "--lessons", folder}, in)
		in.Close()
	}()
	lines := bufio.NewScanner(out)
	if !lines.Scan() {
		t.Fatalf("no line came: %v", <-ended)
	}
	page := func(path string) string {
		r, err := http.Get(lines.Text() + path)
		if err != nil {
			t.Fatal(err)
		}
		defer r.Body.Close()
		body, err := io.ReadAll(r.Body)
		if err != nil {
			t.Fatal(err)
		}
		return string(body)
	}
	until := func(path, words string, there bool) {
		for strings.Contains(page(path), words) != there {
			runtime.Gosched()
		}
	}
	until("lesson/brush", "made of alder", true)
	save("brush.md", "It is made of birch.")
	until("lesson/brush", "made of birch", true)
	save("crank.md", "A crank.")
	until("", "/lesson/crank", true)
	if err := os.Remove(filepath.Join(folder, "crank.md")); err != nil {
		t.Fatal(err)
	}
	until("", "/lesson/crank", false)
	stop()
	if err := <-ended; err != nil {
		t.Errorf("serving ended with %v", err)
	}
}

func TestServeRefuses(t *testing.T) {
	taken, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer taken.Close()
	for _, c := range []struct {
		name string
		args []string
		want string
	}{
		{"a busy port", []string{"--listen", taken.Addr().String(), "--data", t.TempDir()}, "choose another port"},
		{"a folder that is not there", []string{"--listen", "127.0.0.1:0", "--lessons", "/nowhere/at/all"}, "cannot be read"},
		{"the folder only, without a folder", []string{"--listen", "127.0.0.1:0", "--only"}, "name the folder of your own with --lessons"},
		{"writing without a folder", []string{"--listen", "127.0.0.1:0", "--write"}, "name it with --lessons"},
		{"writing for the network", []string{"--listen", "0.0.0.0:0", "--write", "--lessons", "testdata"}, "listen on 127.0.0.1, or add --class"},
		{"writing behind a proxy", []string{"--listen", "127.0.0.1:0", "--write", "--lessons", "testdata", "--trusted-proxy", "127.0.0.1"}, "leave out --origin and --trusted-proxy"},
		{"a lesson of a built-in name", []string{"--listen", "127.0.0.1:0", "--lessons", "../../lessons/text"}, "both have another-route.md"},
		{"a file as a folder", []string{"--listen", "127.0.0.1:0", "--lessons", "serve_test.go"}, "not a folder"},
		{"an origin with a path", []string{"--origin", "https://twist.example/path"}, "an origin is"},
		{"a certificate without its key", []string{"--tls-cert", "serve_test.go", "--data", t.TempDir()}, "belong together"},
		{"a certificate that is none", []string{"--tls-cert", "serve_test.go", "--tls-key", "serve_test.go", "--data", t.TempDir()}, "cannot be used"},
		{"a certificate that is not there", []string{"--class", "--tls-cert", "none.pem", "--tls-key", "none.pem", "--data", t.TempDir()}, "cannot be read"},
		{"a proxy by its name", []string{"--trusted-proxy", "proxy.example"}, "a proxy is an address"},
		{"passwords over a network", []string{"--class", "--listen", "0.0.0.0:0", "--data", t.TempDir()}, "unencrypted to 0.0.0.0:0"},
		{"passwords over all networks", []string{"--class", "--listen", ":0", "--origin", "http://twist.example", "--data", t.TempDir()}, "--plain-http"},
		{"a flag of classes without them", []string{"--plain-http"}, "add --class"},
		{"a link for nobody", []string{"--class", "--let-in", "teach9", "--listen", "127.0.0.1:0", "--data", t.TempDir()}, "nobody has the sign-in name"},
		{"a folder that is empty", []string{"--data", ""}, "--data is empty"},
		{"a store that is empty", []string{"--store", ""}, "--store is empty"},
		{"two places", []string{"--store", "a.db", "--data", "b"}, "give one of them"},
		{"a database of another kind", []string{"--store", "mysql://host/name"}, "there is no store for mysql://"},
		{"a port alone", []string{"--listen", "9301", "--data", t.TempDir()}, "127.0.0.1:9301"},
		{"metrics at the readers' address", []string{"--listen", "127.0.0.1:9301", "--metrics", "127.0.0.1:9301"}, "another port"},
		{"a flag with a wrong value", []string{"--class=perhaps"}, "perhaps"},
		{"an argument that is no flag", []string{"lessons"}, errUsage.Error()},
	} {
		t.Run(c.name, func(t *testing.T) {
			err := run(context.Background(), append([]string{"serve"}, c.args...), io.Discard)
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("error %v, want one with %q", err, c.want)
			}
		})
	}
}

func TestOneServerForADataFolder(t *testing.T) {
	folder := t.TempDir()
	first := serveConfig{data: folder}
	store, err := first.openStore(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	second := serveConfig{data: folder}
	if _, err := second.openStore(t.Context()); err == nil || !strings.Contains(err.Error(), "another server uses the store") {
		t.Errorf("a second server: %v", err)
	}
	link := filepath.Join(t.TempDir(), "link.db")
	if err := os.Symlink(sqlite.FileIn(folder), link); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{sqlite.FileIn(folder), filepath.Join(folder, ".", "shaftbook.db"), link} {
		third := serveConfig{store: name}
		if _, err := third.openStore(t.Context()); err == nil || !strings.Contains(err.Error(), "another server uses the store") {
			t.Errorf("a server with --store %s: %v", name, err)
		}
	}
	copied := filepath.Join(t.TempDir(), "copy.db")
	if err := run(t.Context(), []string{"backup", copied, "--data", folder}, io.Discard); err != nil {
		t.Fatal(err)
	}
	if err := run(t.Context(), []string{"restore", "--force", copied, "--data", folder}, io.Discard); err == nil || !strings.Contains(err.Error(), "another server uses the store") {
		t.Errorf("a restore beside the server: %v", err)
	}
	if err := store.Close(); err != nil {
		t.Fatal(err)
	}
	if store, err = second.openStore(t.Context()); err != nil {
		t.Fatalf("after the first: %v", err)
	}
	if err := store.Close(); err != nil {
		t.Error(err)
	}
}

func TestWrongUsageSaysWhatIsWrong(t *testing.T) {
	for want, args := range map[string][]string{
		"--students must be from": {"demo", "--students", "3"},
		"name a file":             {"variant"},
		"name one file":           {"calc"},
		"name the file for":       {"backup"},
		"no command":              {"calculate"},
		"--data is empty":         {"backup", "x.db", "--data", ""},
		"--store is empty":        {"verify", "--store="},
		"--learner ID":            {"variant", "a.md", "twist"},
	} {
		err := run(context.Background(), args, io.Discard)
		if !errors.Is(err, errUsage) || !strings.Contains(err.Error(), want) {
			t.Errorf("%v: %v, want %q", args, err, want)
		}
	}
}
