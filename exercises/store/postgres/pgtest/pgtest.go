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

// startWait is how long a server may take to start. It is far above what an idle
// machine needs: it ends waiting for one that will never answer.
const startWait = 10 * time.Minute

// A Server is a running PostgreSQL server.
type Server struct {
	folder     string
	attributes *syscall.SysProcAttr
	process    *os.Process   // nil while it is stopped
	ended      chan struct{} // closed when process has
	settings   []string
	made       atomic.Int64
}

// Start makes and starts a server that ends with the test. As root it runs the
// server as the user postgres or "nobody", since PostgreSQL refuses root.
func Start(t testing.TB) *Server {
	t.Helper()
	if testing.Short() {
		t.Skip("starts PostgreSQL")
	}
	attributes := unprivileged(t)
	folder := newFolder(t, attributes)
	make := exec.Command(find(t, "initdb"), "--pgdata", filepath.Join(folder, "data"), "--username", "shaftbook", "--auth", "trust", "--encoding", "UTF8",
		"--no-locale", "--no-sync")
	make.SysProcAttr, make.Dir = attributes, folder
	if out, err := make.CombinedOutput(); err != nil {
		t.Fatalf("initdb: %v\n%s", err, out)
	}
	s := &Server{folder: folder, attributes: attributes}
	t.Cleanup(func() { s.end(syscall.SIGINT) })
	s.Run(t)
	return s
}

// Run starts a server that was stopped, and returns when it answers. What is left of one
// that was killed can keep it from starting at first.
func (s *Server) Run(t testing.TB) {
	t.Helper()
	log, err := os.OpenFile(filepath.Join(s.folder, "log"), os.O_CREATE|os.O_APPEND|os.O_WRONLY, 0o600)
	if err != nil {
		t.Fatal(err)
	}
	defer log.Close()
	for end := time.Now().Add(startWait); time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
		run := exec.Command(find(t, "postgres"), append([]string{"-D", s.data(), "-k", s.folder, "-c", "listen_addresses=", "-c", "shared_buffers=16MB"}, s.settings...)...)
		run.SysProcAttr, run.Dir, run.Stdout, run.Stderr = s.attributes, s.folder, log, log
		if err := run.Start(); err != nil {
			t.Fatal(err)
		}
		ended := make(chan struct{})
		go func() {
			run.Wait()
			close(ended)
		}()
		if s.answers(ended) {
			s.process, s.ended = run.Process, ended
			return
		}
	}
	said, _ := os.ReadFile(log.Name())
	t.Fatalf("the server does not start\n%s", said)
}

// answers waits until a server answers or has ended.
func (s *Server) answers(ended chan struct{}) bool {
	for {
		if execute(s.address(), "SELECT 1") == nil {
			return true
		}
		select {
		case <-ended:
			return false
		case <-time.After(20 * time.Millisecond):
		}
	}
}

// Stop ends a server in good order ("fast shutdown"): its connections are cut, and
// what runs is undone. Crash ends it as a fault does ("immediate shutdown"), so that it
// begins with a recovery.
func (s *Server) Stop()  { s.end(syscall.SIGINT) }
func (s *Server) Crash() { s.end(syscall.SIGQUIT) }

// Kill ends a server as kill -9 does; its other processes notice that it is gone.
func (s *Server) Kill() { s.end(syscall.SIGKILL) }

func (s *Server) end(how os.Signal) {
	if s.process == nil {
		return
	}
	s.process.Signal(how)
	<-s.ended
	s.process = nil
}

// Cut ends all connections of clients.
func (s *Server) Cut(t testing.TB) {
	t.Helper()
	if err := execute(s.address(), `SELECT pg_terminate_backend(pid) FROM pg_stat_activity
		WHERE backend_type = 'client backend' AND pid <> pg_backend_pid()`); err != nil {
		t.Error(err)
	}
}

// Standby makes a server that follows another, which from then on acknowledges a commit
// only when the standby has it too (PostgreSQL manual, section 27.2.8). It ends with the
// test.
func (s *Server) Standby(t testing.TB) *Server {
	t.Helper()
	folder := newFolder(t, s.attributes)
	// It looks for a server that it lost more often than every 5 s: until it is back,
	// nothing is acknowledged.
	follower := &Server{folder: folder, attributes: s.attributes, settings: []string{"-c", "wal_retrieve_retry_interval=200ms"}}
	base := exec.Command(find(t, "pg_basebackup"), "--pgdata", follower.data(), "--host", s.folder, "--username", "shaftbook",
		"--write-recovery-conf", "--checkpoint=fast", "--no-sync")
	base.SysProcAttr, base.Dir = s.attributes, folder
	if out, err := base.CombinedOutput(); err != nil {
		t.Fatalf("pg_basebackup: %v\n%s", err, out)
	}
	t.Cleanup(func() { follower.end(syscall.SIGINT) })
	follower.Run(t)
	for _, statement := range []string{"ALTER SYSTEM SET synchronous_standby_names = '*'", "SELECT pg_reload_conf()"} {
		if err := execute(s.address(), statement); err != nil {
			t.Fatal(err)
		}
	}
	for !s.isFollowed(t) {
		time.Sleep(20 * time.Millisecond)
	}
	return follower
}

func (s *Server) isFollowed(t testing.TB) (followed bool) {
	t.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), startWait)
	defer cancel()
	conn, err := pgx.Connect(ctx, s.address())
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(ctx)
	if err := conn.QueryRow(ctx, "SELECT EXISTS (SELECT 1 FROM pg_stat_replication WHERE sync_state IN ('sync', 'quorum'))").Scan(&followed); err != nil {
		t.Fatal(err)
	}
	return followed
}

// Promote makes a standby take writes.
func (s *Server) Promote(t testing.TB) {
	t.Helper()
	if err := execute(s.address(), "SELECT pg_promote()"); err != nil {
		t.Fatal(err)
	}
}

// Address is where the database of Database and its standby are found, whichever of
// them takes writes.
func Address(database string, standby *Server) string {
	u, err := url.Parse(database)
	if err != nil {
		return database
	}
	q := u.Query()
	q.Set("host", q.Get("host")+","+standby.folder)
	q.Set("target_session_attrs", "read-write")
	u.RawQuery = q.Encode()
	return u.String()
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

func (s *Server) data() string { return filepath.Join(s.folder, "data") }

func (s *Server) address() string {
	return "postgres:///postgres?" + url.Values{"host": {s.folder}, "user": {"shaftbook"}}.Encode()
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

// newFolder makes a folder that ends with the test, for the user that runs the server.
// The path of a Unix socket has about a hundred characters, so it has a short name and
// is not under t.TempDir.
func newFolder(t testing.TB, attributes *syscall.SysProcAttr) string {
	t.Helper()
	folder, err := os.MkdirTemp("", "pg")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { os.RemoveAll(folder) })
	if c := attributes.Credential; c != nil {
		if err := os.Chown(folder, int(c.Uid), int(c.Gid)); err != nil {
			t.Fatal(err)
		}
	}
	return folder
}

// unprivileged returns how to run the server: as another user where this one is root.
func unprivileged(t testing.TB) *syscall.SysProcAttr {
	t.Helper()
	if os.Getuid() != 0 {
		return &syscall.SysProcAttr{}
	}
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
			return &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: uint32(id), Gid: uint32(group)}}
		}
	}
	t.Fatal("as root, the test needs a user postgres or nobody to run the server")
	return nil
}
