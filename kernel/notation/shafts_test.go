package notation

import (
	"os"
	"strings"
	"testing"

	"shaftbook/kernel/source"
)

func TestOracleShafts(t *testing.T) {
	text, err := os.ReadFile("testdata/shafts.txt")
	if err != nil {
		t.Fatal(err)
	}
	for _, line := range strings.Split(strings.TrimSpace(string(text)), "\n") {
		if strings.HasPrefix(line, "#") {
			continue
		}
		name, cell, _ := strings.Cut(line, ": ")
		t.Run(name, func(t *testing.T) {
			content := strings.ReplaceAll(cell, " ; ", "\n")
			got, list := ParseShaft(source.NewText(name, content))
			if len(list) > 0 {
				t.Fatal(list[0].Render())
			}
			if want := strings.Count(content, "\n") + 1; len(got.Lines) != want {
				t.Errorf("%d lines, want %d", len(got.Lines), want)
			}
			// They are written as Print writes them, but for the minus sign and the
			// spaces after a unit.
			printed := strings.NewReplacer("−", "-", " · ", "·").Replace(got.String())
			if printed != content {
				t.Errorf("prints as\n%s\nnot\n%s", printed, content)
			}
		})
	}
}
