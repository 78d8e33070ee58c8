package exercises

import (
	"os"
	"path/filepath"
	"testing"
)

// golden compares what a reader is told with a file under testdata, so that no
// test repeats the sentences.
func golden(t *testing.T, name, got string) {
	t.Helper()
	file := filepath.Join("testdata", name)
	if *update {
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if got != string(want) {
		t.Errorf("%s differs; run with -update and read the difference\n%s", file, got)
	}
}
