package roster

import (
	"encoding/csv"
	"fmt"
	"strings"
	"testing"
	"time"

	"shaftbook/exercises/class"
)

// BenchmarkRead reads and plans a list of as many lines as are taken, and
// reports how much that is against encoding/csv reading the same text.
func BenchmarkRead(b *testing.B) {
	var list strings.Builder
	list.WriteString("name,email,id,section\n")
	for i := range MaxLines {
		fmt.Fprintf(&list, "Student %04d,s%04d@mill.example,u%04d,A\n", i, i, i)
	}
	text := list.String()
	for b.Loop() {
		r, err := Read([]File{{"", []byte(text)}}, "")
		if err != nil || len(r.Lines) != MaxLines {
			b.Fatal(err)
		}
		if p := r.Plan(School{Class: "MILL", Members: []class.Member{}}, Terms{Now: now, NewID: counted()}); len(p.Steps) != MaxLines {
			b.Fatal("not all are new")
		}
	}
	ours := b.Elapsed() / time.Duration(b.N)
	began, rounds := time.Now(), 20
	for range rounds {
		if _, err := csv.NewReader(strings.NewReader(text)).ReadAll(); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(ours)/(float64(time.Since(began))/float64(rounds)), "×csv")
}
