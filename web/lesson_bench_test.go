package web

import (
	"bytes"
	"cmp"
	"io"
	"io/fs"
	"log/slog"
	"maps"
	"net/http"
	"net/http/httptest"
	"slices"
	"testing"
	"time"

	"github.com/yuin/goldmark"

	"shaftbook/lessons"
	"shaftbook/lessons/text"
)

// BenchmarkLesson measures what one learner waits for at a lesson, from the request to the
// whole page, exercises with the learner's own numbers among it: the first time, with
// nothing made yet, and again. It reports the slowest lesson of each by its best time, and
// both as a multiple of goldmark on the same text in the same run.
//
// Of the first time at the slowest, the brackets of its two integrals over a measured shaft
// take more than half, 4,096 slices each of about 2.5 µs: they halve with each doubling,
// and what is worked out from them shows their ends, so that fewer would change what
// stands on the page. Of a slice two fifths are the diameters at its ends, a tenth is
// booking the work, and the rest goes from node to node of the formula. The other half is
// values, rows and figures. Again, a third is the questions with their figures, a quarter
// reading the store, a fifth compressing the learner's exercises, a tenth their templates.
func BenchmarkLesson(b *testing.B) {
	shelf, _ := lessons.Load(fs.FS(text.Files))
	first, again, plain := map[string]time.Duration{}, map[string]time.Duration{}, map[string]time.Duration{}
	keep := func(best map[string]time.Duration, slug string, took time.Duration) {
		if best[slug] == 0 || took < best[slug] {
			best[slug] = took
		}
	}
	bare := goldmark.New()
	for b.Loop() {
		s := &Server{Catalog: shelf, Attempts: newDesk(b), Log: slog.New(slog.NewTextHandler(io.Discard, nil))}
		if err := s.Open("127.0.0.1:0"); err != nil {
			b.Fatal(err)
		}
		for _, l := range shelf.Lessons {
			var who []*http.Cookie
			for _, best := range []map[string]time.Duration{first, again, again, again} {
				r := httptest.NewRequest("GET", s.URL()+"lesson/"+l.Slug, nil)
				r.Header.Set("Accept-Encoding", "gzip")
				for _, c := range who {
					r.AddCookie(c)
				}
				w := httptest.NewRecorder()
				start := time.Now()
				s.http.Handler.ServeHTTP(w, r)
				keep(best, l.Slug, time.Since(start))
				if w.Code != http.StatusOK {
					b.Fatalf("%s: %d", l.Slug, w.Code)
				}
				who = append(who, w.Result().Cookies()...)
			}
			var out bytes.Buffer
			start := time.Now()
			if err := bare.Convert([]byte(l.Text.Content), &out); err != nil {
				b.Fatal(err)
			}
			keep(plain, l.Slug, time.Since(start))
		}
		if err := s.Close(b.Context()); err != nil {
			b.Fatal(err)
		}
	}
	for name, best := range map[string]map[string]time.Duration{"first": first, "again": again} {
		slowest := slices.MaxFunc(slices.Collect(maps.Keys(best)), func(x, y string) int { return cmp.Compare(best[x], best[y]) })
		b.Logf("the slowest %s is %s", name, slowest)
		b.ReportMetric(best[slowest].Seconds()*1e3, "ms-"+name)
		b.ReportMetric(best[slowest].Seconds()/plain[slowest].Seconds(), name+"/goldmark")
	}
}
