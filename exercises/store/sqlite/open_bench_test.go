package sqlite

import (
	"context"
	"os"
	"path/filepath"
	"testing"
)

// BenchmarkOpen opens a store that exists, and makes a new one. Both stand
// between a command and its first page.
func BenchmarkOpen(b *testing.B) {
	b.Run("existing", func(b *testing.B) {
		path := FileIn(b.TempDir())
		mustOpen(b, path).Close()
		for b.Loop() {
			openAndClose(b, path)
		}
	})
	b.Run("new", func(b *testing.B) {
		folder := b.TempDir()
		for b.Loop() {
			dir, err := os.MkdirTemp(folder, "")
			if err != nil {
				b.Fatal(err)
			}
			openAndClose(b, filepath.Join(dir, "store.db"))
		}
	})
}

func openAndClose(b *testing.B, path string) {
	s, err := Open(context.Background(), path)
	if err != nil {
		b.Fatal(err)
	}
	if err := s.Close(); err != nil {
		b.Fatal(err)
	}
}
