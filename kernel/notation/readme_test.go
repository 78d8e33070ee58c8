package notation

import (
	"os"
	"strings"
	"testing"

	"shaftbook/kernel/source"
)

// readmeBlocks returns the fenced examples of the README.
func readmeBlocks(t testing.TB) []string {
	t.Helper()
	var blocks []string
	for _, b := range readmeFences(t) {
		blocks = append(blocks, b.text)
	}
	return blocks
}

type fence struct{ info, text string }

func readmeFences(t testing.TB) []fence {
	t.Helper()
	text, err := os.ReadFile("README.md")
	if err != nil {
		t.Fatal(err)
	}
	var fences []fence
	for i, part := range strings.Split(string(text), "```") {
		if i%2 == 1 {
			info, body, _ := strings.Cut(part, "\n")
			fences = append(fences, fence{info, body})
		}
	}
	return fences
}

// Every example of the reference must read without a message, but for notes that
// say how it was read.
func TestReadme(t *testing.T) {
	count := 0
	for _, f := range readmeFences(t) {
		text := source.NewText("README.md", f.text)
		var list source.List
		switch kind, _, _ := strings.Cut(f.info, " "); kind {
		case "calc":
			_, list = ParseCell(text)
		case "shaft":
			_, list = ParseShaft(text)
		case "derive":
			_, list = ParseDerivation(text)
		default:
			continue
		}
		count++
		for _, d := range list {
			if d.Severity == source.Note && d.Fix != nil {
				continue
			}
			t.Errorf("the example\n%s: %s", f.text, d.Render())
		}
	}
	if count < 8 {
		t.Errorf("only %d examples were found", count)
	}
}
