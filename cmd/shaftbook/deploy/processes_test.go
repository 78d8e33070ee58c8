package deploy

import (
	"bufio"
	"fmt"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// build makes the program, as it is delivered.
func build(t *testing.T) string {
	t.Helper()
	program := filepath.Join(t.TempDir(), "shaftbook")
	if out, err := exec.Command("go", "build", "-o", program, "shaftbook/cmd/shaftbook").CombinedOutput(); err != nil {
		t.Fatalf("go build: %v\n%s", err, out)
	}
	return program
}

// freeAddress is an address of this machine that nobody listens on.
func freeAddress(t *testing.T) string {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	return l.Addr().String()
}

// A server is a process of shaftbook.
type server struct {
	program, address string
	arguments        []string
	log              *os.File
	process          *exec.Cmd
}

// run starts the process and returns when it listens.
func (s *server) run(t *testing.T) {
	t.Helper()
	s.process = exec.Command(s.program, append([]string{"serve", "--listen", s.address}, s.arguments...)...)
	s.process.Stderr = s.log
	out, err := s.process.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := s.process.Start(); err != nil {
		t.Fatal(err)
	}
	if line, err := bufio.NewReader(out).ReadString('\n'); err != nil || !strings.Contains(line, s.address) {
		said, _ := os.ReadFile(s.log.Name())
		t.Fatalf("the server said %q, %v\n%s", line, err, said)
	}
}

// kill ends the process as kill -9 does.
func (s *server) kill() {
	if s.process == nil {
		return
	}
	s.process.Process.Kill()
	s.process.Wait()
}

// proxy runs HAProxy with the settings of this folder, and returns when it answers.
func proxy(t *testing.T, address string, servers []*server) {
	t.Helper()
	haproxy, err := exec.LookPath("haproxy")
	if err != nil {
		haproxy = "/usr/sbin/haproxy" // which is not in everybody's path
	}
	p := exec.Command(haproxy, "-db", "-f", "haproxy.cfg")
	p.Env = append(os.Environ(), "SHAFTBOOK_BIND="+address,
		"SHAFTBOOK_ONE="+servers[0].address, "SHAFTBOOK_TWO="+servers[1].address, "SHAFTBOOK_THREE="+servers[2].address)
	log := newLog(t, "haproxy")
	p.Stdout, p.Stderr = log, log
	if err := p.Start(); err != nil {
		t.Fatalf("%v: install HAProxy (on Debian: apt-get install haproxy)", err)
	}
	ended := make(chan error, 1)
	go func() { ended <- p.Wait() }()
	t.Cleanup(func() { p.Process.Kill() })
	for {
		r, err := http.Get("http://" + address + "/sign-in")
		if err == nil {
			r.Body.Close()
		}
		if err == nil && r.StatusCode == http.StatusOK {
			return
		}
		select {
		case err := <-ended:
			said, _ := os.ReadFile(log.Name())
			t.Fatalf("haproxy: %v\n%s", err, said)
		case <-time.After(20 * time.Millisecond):
		}
	}
}

// newLog is a file for what a process says, which is shown if the test fails.
func newLog(t *testing.T, name string) *os.File {
	t.Helper()
	f, err := os.Create(filepath.Join(t.TempDir(), name))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		f.Close()
		if !t.Failed() {
			return
		}
		said, _ := os.ReadFile(f.Name())
		fmt.Printf("--- %s\n%s", name, said[max(0, len(said)-4000):])
	})
	return f
}
