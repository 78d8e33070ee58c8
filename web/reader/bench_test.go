package reader

import (
	"cmp"
	"io/fs"
	"log/slog"
	"maps"
	"slices"
	"testing"
	"time"

	"shaftbook/lessons"
	"shaftbook/lessons/text"
	"shaftbook/web/page"
	"shaftbook/web/request"
)

// BenchmarkFirstRender measures what the first reader of a lesson waits for:
// evaluation, figures and HTML, with nothing drawn yet. It
// goes through the whole shelf and reports the slowest lesson, by its best
// time, since what else the machine does is not a property of the lesson.
func BenchmarkFirstRender(b *testing.B) {
	catalog, _ := lessons.Load(fs.FS(text.Files))
	best := map[string]time.Duration{}
	var longest int
	for b.Loop() {
		b.StopTimer()
		pages := newPageCache(Config{
			Site: &request.Site{Log: slog.New(slog.DiscardHandler), Assets: &page.Assets{}}, Catalog: lessons.NewCurrent(catalog), Rows: page.NewRows(16 << 20),
		})
		b.StartTimer()
		for slug, p := range pages.in(b.Context()).pages {
			start := time.Now()
			body, err := p.text.get(b.Context())
			if err != nil {
				b.Fatal(err)
			}
			if spent := time.Since(start); best[slug] == 0 || spent < best[slug] {
				best[slug] = spent
			}
			longest = max(longest, len(body))
		}
	}
	slowest := slices.MaxFunc(slices.Collect(maps.Keys(best)), func(x, y string) int { return cmp.Compare(best[x], best[y]) })
	b.Logf("the slowest is %s", slowest)
	b.ReportMetric(best[slowest].Seconds()*1e3, "ms-slowest")
	b.ReportMetric(float64(longest)/1e3, "kB-longest-plain")
}
