package sqlite

import (
	"context"
	"database/sql"
	"fmt"
	"os"
	"path/filepath"
	"shaftbook/exercises/store/contract"
	"slices"
	"sync"
	"testing"
	"time"
)

// BenchmarkDurableRow compares keeping one attempt with the least that any
// durable write costs: overwriting a page of a file and waiting for the disk.
// The two take turns, so that both see the same disk. In turn with them goes the
// floor: a row of two columns in a table without an index, by the same driver with the
// same settings.
//
// Of what a row costs beyond the wait for the disk, about 30 µs, a third is SQLite
// writing its log (three pages, each with its head, by two system calls), a third
// finding the number and putting the row and its two keys, and a tenth the two looks
// at the place of the file. The floor takes 20 µs.
func BenchmarkDurableRow(b *testing.B) {
	folder := b.TempDir()
	s := mustOpen(b, FileIn(folder))
	f, err := os.Create(filepath.Join(folder, "baseline"))
	if err != nil {
		b.Fatal(err)
	}
	defer f.Close()
	page := make([]byte, 4096)
	warm(b, s)
	bare := bareTable(b, folder)
	var base, row, floor []time.Duration
	for i := 0; b.Loop(); i++ {
		begun := time.Now()
		bare(i)
		floor = append(floor, time.Since(begun))
		a := sample(fmt.Sprint("s", i))
		a.Learner = fmt.Sprintf("student-%02d", i%30)
		a.Series = i / 90
		start := time.Now()
		if _, err := f.WriteAt(page, 0); err != nil {
			b.Fatal(err)
		}
		if err := f.Sync(); err != nil {
			b.Fatal(err)
		}
		between := time.Now()
		if _, _, err := s.Submit(context.Background(), a, 3); err != nil {
			b.Fatal(err)
		}
		base, row = append(base, between.Sub(start)), append(row, time.Since(between))
	}
	b.ReportMetric(median(row)/median(base), "row/fsync")
	b.ReportMetric(median(floor)/median(base), "floor/fsync")
	b.ReportMetric(median(base)*1e6, "µs/fsync")
	b.ReportMetric(median(row)*1e6, "µs/row")
}

// bareTable returns what keeps a row of two columns.
func bareTable(b *testing.B, folder string) func(i int) {
	b.Helper()
	db, err := sql.Open(driverName, dsn(filepath.Join(folder, "bare.db"), "", settings...))
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { db.Close() })
	db.SetMaxOpenConns(1)
	if _, err := db.Exec("CREATE TABLE bare (id INTEGER PRIMARY KEY, content TEXT NOT NULL) STRICT"); err != nil {
		b.Fatal(err)
	}
	insert, err := db.Prepare("INSERT INTO bare (content) VALUES (?)")
	if err != nil {
		b.Fatal(err)
	}
	keep := func(i int) {
		if _, err := insert.Exec(fmt.Sprint("content ", i)); err != nil {
			b.Fatal(err)
		}
	}
	for i := range 1200 { // until its log is written back: see warm
		keep(i)
	}
	return keep
}

// warm writes until the log has been written back into the file once. From then
// on commits overwrite the log, as they do in a server that has run for a while;
// before, each makes it longer, for which a file system does more.
func warm(b *testing.B, s contract.Work) {
	b.Helper()
	var all sync.WaitGroup
	for w := range 16 {
		all.Go(func() {
			for i := range 100 {
				a := sample(fmt.Sprint("warm-", i))
				a.Learner, a.Exercise = fmt.Sprintf("student-%02d", w), a.Submission
				if _, _, err := s.Submit(context.Background(), a, 0); err != nil {
					b.Error(err)
				}
			}
		})
	}
	all.Wait()
}

func median(d []time.Duration) float64 {
	slices.Sort(d)
	return d[len(d)/2].Seconds()
}

// BenchmarkGroup compares many writers, whose rows share commits, with one
// writer on the same store, whose rows do not. An operation is a burst of 16
// rows of each kind.
//
// A row in a group costs 18 to 22 µs, which bounds the ratio on a disk that is quick to
// sync: of it about 5 µs are putting a row into a table without an index, the rest two
// keys, the number, and handing the answer back. On a disk of which a sync takes 90 µs
// the ratio at 64 is between 7 and 10, on slower ones more.
func BenchmarkGroup(b *testing.B) {
	for _, writers := range []int{16, 64} {
		b.Run(fmt.Sprint(writers, "writers"), func(b *testing.B) {
			s := mustOpen(b, FileIn(b.TempDir()))
			warm(b, s)
			const alone, each = 16, 8
			submit := func(name string, learner int) {
				a := sample(name)
				a.Learner, a.Exercise = fmt.Sprintf("student-%02d", learner), name
				if _, _, err := s.Submit(context.Background(), a, 3); err != nil {
					b.Error(err)
				}
			}
			var one, many time.Duration
			rounds := 0
			for ; b.Loop(); rounds++ {
				start := time.Now()
				for i := range alone {
					submit(fmt.Sprint("one-", rounds, "-", i), 0)
				}
				between := time.Now()
				var all sync.WaitGroup
				for w := range writers {
					all.Go(func() {
						for i := range each {
							submit(fmt.Sprint("many-", rounds, "-", i), w+1)
						}
					})
				}
				all.Wait()
				one, many = one+between.Sub(start), many+time.Since(between)
			}
			single := float64(rounds*alone) / one.Seconds()
			group := float64(rounds*writers*each) / many.Seconds()
			b.ReportMetric(group/single, "group/one")
			b.ReportMetric(group, "rows/s")
		})
	}
}
