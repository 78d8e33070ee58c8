//go:build unix

package lessons

import (
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// A pipe among the lessons is a fault, and nobody waits for what it may say.
func TestAPipeAmongTheLessons(t *testing.T) {
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "good.md"), []byte("---\ntitle: A\norder: 1\nsummary: B.\nminutes: 5\n---\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"pipe.md", "glossary.yaml"} {
		if err := syscall.Mkfifo(filepath.Join(dir, name), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	catalog, found := Load(os.DirFS(dir))
	if len(catalog.Lessons) != 1 || len(found) != 1 || found[0].Name != "pipe.md" || !strings.Contains(found[0].List[0].Message, "not a plain file") {
		t.Errorf("%d lessons, found %v", len(catalog.Lessons), found)
	}
}
