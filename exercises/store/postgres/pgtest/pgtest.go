// Package pgtest runs a PostgreSQL server for tests: a real one, from the
// binaries of the system, on a socket in a folder of its own, with its usual
// durability.
package pgtest

import (
	"context"
	"net/url"
	"os"
	"os/exec"
	"os/user"
	"path/filepath"
	"strconv"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
)

// hint is how to get what a test needs. Such a test fails and does not skip:
// a store that was not tested on its database is not tested.
const hint = "%s was not found in PATH, /usr/local/bin or /usr/lib/postgresql: install PostgreSQL 13 or newer " +
	"(on Debian: apt-get install postgresql)"

// startWait is how long a server may take to answer. It is far above what an idle
// machine needs: it ends waiting for one that will never answer.
const startWait = 10 * time.Minute

// A Server is a running PostgreSQL server.
type Server struct {
	folder string
	made   atomic.Int64
}

// Start makes and starts a server that ends with the test. As root it runs the
// server as the user postgres or "nobody", since PostgreSQL refuses root.
func Start(t testing.TB) *Server {
	t.Helper()
	if testing.Short() {
		t.Skip("starts PostgreSQL")
	}
	initdb, postgres := find(t, "initdb"), find(t, "postgres")
	// The path of a Unix socket has about a hundred characters, so the folder
	// has a short name and is not under t.TempDir.
	folder, err := os.MkdirTemp("", "pg")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { os.RemoveAll(folder) })
	attributes := &syscall.SysProcAttr{}
	if os.Getuid() == 0 {
		uid, gid := unprivileged(t)
		attributes.Credential = &syscall.Credential{Uid: uid, Gid: gid}
		if err := os.Chown(folder, int(uid), int(gid)); err != nil {
			t.Fatal(err)
		}
	}
	data := filepath.Join(folder, "data")
	make := exec.Command(initdb, "--pgdata", data, "--username", "shaftbook", "--auth", "trust", "--encoding", "UTF8",
		"--no-locale", "--no-sync")
	make.SysProcAttr, make.Dir = attributes, folder
	if out, err := make.CombinedOutput(); err != nil {
		t.Fatalf("initdb: %v\n%s", err, out)
	}
	log, err := os.Create(filepath.Join(folder, "log"))
	if err != nil {
		t.Fatal(err)
	}
	defer log.Close()
	run := exec.Command(postgres, "-D", data, "-k", folder, "-c", "listen_addresses=", "-c", "shared_buffers=16MB")
	run.SysProcAttr, run.Dir, run.Stdout, run.Stderr = attributes, folder, log, log
	if err := run.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		run.Process.Signal(syscall.SIGINT) // "fast shutdown"
		run.Wait()
	})
	s := &Server{folder: folder}
	s.wait(t, log.Name())
	return s
}

// Database makes an empty place for tables and returns its address, to which
// further parameters can be joined with &. It is a schema rather than a database
// of its own, which takes a hundredth of the time to make.
func (s *Server) Database(t testing.TB) string {
	t.Helper()
	name := "test" + strconv.FormatInt(s.made.Add(1), 10)
	if err := execute(s.address(), "CREATE SCHEMA "+name); err != nil {
		t.Fatal(err)
	}
	return s.address() + "&search_path=" + name
}

// emptying waits until nothing runs that a caller has left, and deletes every row
// but those that list the tables. The role keeps the order of the
// tables from mattering.
const emptying = `SET session_replication_role = replica;
DO $$ DECLARE t record; BEGIN
	WHILE EXISTS (SELECT 1 FROM pg_stat_activity
		WHERE backend_type = 'client backend' AND state <> 'idle' AND pid <> pg_backend_pid()) LOOP
		PERFORM pg_sleep(0.002);
		PERFORM pg_stat_clear_snapshot();
	END LOOP;
	FOR t IN SELECT tablename FROM pg_tables WHERE schemaname = current_schema() AND tablename NOT LIKE 'goose%' LOOP
		EXECUTE format('DELETE FROM %I', t.tablename);
	END LOOP;
END $$`

// Empty takes all rows out of a place that Database made and whose tables have
// been made, which takes a tenth of the time to make them anew.
func (s *Server) Empty(t testing.TB, address string) {
	t.Helper()
	if err := execute(address, emptying); err != nil {
		t.Fatal(err)
	}
}

func execute(address, statement string) error {
	ctx, cancel := context.WithTimeout(context.Background(), startWait)
	defer cancel()
	conn, err := pgx.Connect(ctx, address)
	if err != nil {
		return err
	}
	defer conn.Close(ctx)
	_, err = conn.Exec(ctx, statement)
	return err
}

func (s *Server) address() string {
	return "postgres:///postgres?" + url.Values{"host": {s.folder}, "user": {"shaftbook"}}.Encode()
}

func (s *Server) wait(t testing.TB, log string) {
	t.Helper()
	for end := time.Now().Add(startWait); ; time.Sleep(20 * time.Millisecond) {
		err := execute(s.address(), "SELECT 1")
		if err == nil {
			return
		}
		if time.Now().After(end) {
			said, _ := os.ReadFile(log)
			t.Fatalf("the server does not answer: %v\n%s", err, said)
		}
	}
}

// find returns the path of a program of PostgreSQL.
func find(t testing.TB, program string) string {
	t.Helper()
	if path, err := exec.LookPath(program); err == nil {
		return path
	}
	candidates, _ := filepath.Glob("/usr/lib/postgresql/*/bin/" + program)
	for _, path := range append(candidates, filepath.Join("/usr/local/bin", program)) {
		if _, err := exec.LookPath(path); err == nil {
			return path
		}
	}
	t.Fatalf(hint, program)
	return ""
}

// unprivileged returns a user that may run the server.
func unprivileged(t testing.TB) (uid, gid uint32) {
	t.Helper()
	for _, name := range []string{"postgres", "nobody"} {
		u, err := user.Lookup(name)
		if err != nil {
			continue
		}
		id, err := strconv.ParseUint(u.Uid, 10, 32)
		if err != nil {
			continue
		}
		group, err := strconv.ParseUint(u.Gid, 10, 32)
		if err == nil {
			return uint32(id), uint32(group)
		}
	}
	t.Fatal("as root, the test needs a user postgres or nobody to run the server")
	return 0, 0
}
