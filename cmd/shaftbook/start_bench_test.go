package main

import (
	"bufio"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
)

// trivialServer is the least that answers a request: it listens, prints its address as
// shaftbook serve does, and says 200.
const trivialServer = `package main

import (
	"fmt"
	"net"
	"net/http"
)

func main() {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		panic(err)
	}
	fmt.Printf("http://%s/\n", l.Addr())
	panic(http.Serve(l, http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) { fmt.Fprintln(w, "here") })))
}
`

// BenchmarkStart measures the time from starting the program on a data folder that has a
// store to the first whole page, of the shelf and of a lesson, as a multiple of what a
// trivial server takes in the same run. They take turns, and the best time of each counts.
// bare is the program that does nothing: it is loaded, and its packages begin.
//
// bare is the floor: more than half of it is making the heap, the stacks and the tables of
// types of a program of 44 MB, and the variables of packages that are not ours. Of the
// 22 ms of processor time to the shelf, on two processors, a fifth reads the lessons (most
// of it goldmark), a tenth opens the store, a tenth is before main, 7 % reads the
// templates, 4 % hashes the fonts and 2 % makes the page; the rest is spread.
func BenchmarkStart(b *testing.B) {
	folder := b.TempDir()
	build := func(name string, what ...string) string {
		program := filepath.Join(folder, name)
		c := exec.Command("go", append([]string{"build", "-ldflags=-s -w", "-o", program}, what...)...)
		if out, err := c.CombinedOutput(); err != nil {
			b.Fatalf("%v: %s", err, out)
		}
		return program
	}
	source := filepath.Join(folder, "trivial.go")
	if err := os.WriteFile(source, []byte(trivialServer), 0o600); err != nil {
		b.Fatal(err)
	}
	trivial, program := build("trivial", source), build("shaftbook", ".")
	data := filepath.Join(folder, "data")
	serve := []string{program, "serve", "--listen", "127.0.0.1:0", "--data", data}
	firstPage(b, serve, "/") // makes the store
	var base, bare, shelf, lesson []time.Duration
	for b.Loop() {
		begun := time.Now()
		if err := exec.Command(program, "help").Run(); err != nil {
			b.Fatal(err)
		}
		bare = append(bare, time.Since(begun))
		base = append(base, firstPage(b, []string{trivial}, "/"))
		shelf = append(shelf, firstPage(b, serve, "/"))
		lesson = append(lesson, firstPage(b, serve, "/lesson/taper-in-segments"))
	}
	least := slices.Min(base).Seconds()
	b.ReportMetric(slices.Min(shelf).Seconds()/least, "shelf/trivial")
	b.ReportMetric(slices.Min(lesson).Seconds()/least, "lesson/trivial")
	b.ReportMetric(slices.Min(bare).Seconds()/least, "bare/trivial")
	b.ReportMetric(least*1e3, "trivial-ms")
	b.ReportMetric(slices.Min(shelf).Seconds()*1e3, "shelf-ms")
}

// firstPage starts a server, fetches a page at the address that it prints, and ends it. It
// returns how long the page took from the start.
func firstPage(b *testing.B, server []string, path string) time.Duration {
	b.Helper()
	c := exec.Command(server[0], server[1:]...)
	out, err := c.StdoutPipe()
	if err != nil {
		b.Fatal(err)
	}
	start := time.Now()
	if err := c.Start(); err != nil {
		b.Fatal(err)
	}
	address, err := bufio.NewReader(out).ReadString('\n')
	if err != nil {
		b.Fatal(err)
	}
	client := &http.Client{Transport: &http.Transport{DisableKeepAlives: true}}
	r, err := client.Get(strings.TrimSuffix(strings.TrimSpace(address), "/") + path)
	if err != nil {
		b.Fatal(err)
	}
	took := time.Since(start)
	r.Body.Close()
	if r.StatusCode != http.StatusOK {
		b.Fatalf("%s: %s", path, r.Status)
	}
	_ = c.Process.Signal(os.Interrupt)
	_ = c.Wait()
	return took
}
