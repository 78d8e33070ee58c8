package web

import (
	"io/fs"
	"os"
	"regexp"
	"strings"
	"testing"
)

// A measure that SECURITY.md names is as good as its test, so each test that
// it names has to be there.
func TestSecurityNamesTestsThatAreThere(t *testing.T) {
	text, err := os.ReadFile("SECURITY.md")
	if err != nil {
		t.Fatal(err)
	}
	var tests strings.Builder
	folder := os.DirFS("..")
	for _, room := range []string{"web", "cmd"} {
		err := fs.WalkDir(folder, room, func(path string, _ fs.DirEntry, err error) error {
			if err != nil || !strings.HasSuffix(path, "_test.go") {
				return err
			}
			code, err := fs.ReadFile(folder, path)
			tests.Write(code)
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	named := regexp.MustCompile("`((?:Test|Fuzz)[A-Za-z]+)`").FindAllStringSubmatch(string(text), -1)
	if len(named) == 0 {
		t.Error("no test is named")
	}
	for _, name := range named {
		if !strings.Contains(tests.String(), "func "+name[1]+"(") {
			t.Errorf("there is no %s", name[1])
		}
	}
}
