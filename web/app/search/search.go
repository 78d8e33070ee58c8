// Package search cuts lessons into sections and finds the words of a query in them.
// It knows no HTTP.
package search

import (
	"regexp"
	"strings"
	"unicode"

	"golang.org/x/text/cases"
	"golang.org/x/text/unicode/norm"

	"shaftbook/lessons"
	"shaftbook/web/page"
)

// QueryLimit is the greatest length of a query, in characters.
const QueryLimit = 100

const (
	foundLimit   = 50 // places shown
	excerptRunes = 130
)

// A Section is a piece of a lesson under one heading, as a search sees it.
type Section struct {
	Lesson  *lessons.Lesson
	ID      string // the heading's anchor; "" before the first
	Heading string
	Level   int    // of the heading; 1 before the first
	Line    int    // of the heading, from 1
	text    string // what stands under the heading, spaces single
	folded  string // heading and text, for comparing
}

// SectionsOf cuts a lesson at its headings. Headings within fences are none.
func SectionsOf(l *lessons.Lesson) []Section {
	sections := []Section{{Lesson: l, Heading: l.Title, Level: 1, Line: 1}}
	lines := strings.Split(l.Text.Content, "\n")
	headings, fence, hidden := l.Headings, "", false
	var text []string
	end := func() {
		s := &sections[len(sections)-1]
		s.text = strings.Join(strings.Fields(plain(strings.Join(text, " "))), " ")
		s.folded = fold(s.Heading + " " + s.text)
		text = nil
	}
	for i := frontMatterLines(lines); i < len(lines); i++ {
		line := strings.TrimSpace(lines[i])
		switch {
		case fence != "":
			if strings.HasPrefix(line, fence) {
				fence, hidden = "", false
				continue
			}
		case strings.HasPrefix(line, "```"), strings.HasPrefix(line, "~~~"):
			fence = line[:3]
			// What an exercise asks is in its block together with the answer.
			hidden = !showsText(strings.Fields(strings.Trim(line, "`~") + " text")[0])
			continue
		case strings.HasPrefix(line, "#") && len(headings) > 0:
			end()
			sections = append(sections, Section{Lesson: l, ID: headings[0].ID, Heading: headings[0].Text, Level: headings[0].Level, Line: i + 1})
			headings = headings[1:]
			continue
		}
		if !hidden {
			text = append(text, line)
		}
	}
	end()
	return sections
}

// showsText reports whether a block of this kind stands on the page as it is
// written.
func showsText(kind string) bool {
	return kind == "calc" || kind == "shaft" || kind == "text"
}

var (
	links  = regexp.MustCompile(`!?\[([^\]]*)\]\([^)]*\)`)
	markup = strings.NewReplacer("$", "", `\,`, " ", `\`, "", "*", "", "`", "", "{", "", "}", "")
)

// plain takes the marks of Markdown and TeX out of a text, roughly: it is for
// finding and for excerpts, not for reading at length.
func plain(text string) string {
	return markup.Replace(links.ReplaceAllString(text, "$1"))
}

func frontMatterLines(lines []string) int {
	if lines[0] != "---" {
		return 0
	}
	for i, line := range lines[1:] {
		if line == "---" {
			return i + 2
		}
	}
	return 0
}

// fold makes texts comparable: no case, no marks on letters, and the Greek
// letters of the trade by their names, so that "theta" finds θ.
func fold(s string) string {
	s = greekNames.Replace(cases.Fold().String(norm.NFKD.String(s)))
	return strings.Map(func(r rune) rune {
		if unicode.Is(unicode.Mn, r) {
			return -1
		}
		return r
	}, s)
}

var greekNames = strings.NewReplacer("θ", "theta", "τ", "tau", "φ", "phi", "π", "pi", "γ", "gamma", "δ", "delta", "ω", "omega", "ν", "nu", "β", "beta", "σ", "sigma")

// Find returns the places in which all words of a query are.
func Find(sections []Section, query string) []page.Found {
	words := strings.Fields(fold(query))
	var found []page.Found
	for _, s := range sections {
		if len(words) == 0 || len(found) == foundLimit || !hasAll(s.folded, words) {
			continue
		}
		f := page.Found{Lesson: s.Lesson.Title, Heading: s.Heading, Path: lessons.Path(s.Lesson.Slug), Excerpt: excerpt(s.text, words)}
		if s.ID != "" {
			f.Path += "#" + s.ID
		}
		found = append(found, f)
	}
	return found
}

func hasAll(text string, words []string) bool {
	for _, w := range words {
		if !strings.Contains(text, w) {
			return false
		}
	}
	return true
}

// excerpt cuts out whole words around the first place where one of the words
// stands.
func excerpt(text string, words []string) string {
	pieces := strings.Fields(text)
	at := 0
	for i, p := range pieces {
		if containsAny(fold(p), words) {
			at = i
			break
		}
	}
	from, n := at, 0
	for from > 0 && n < excerptRunes/3 {
		from--
		n += len([]rune(pieces[from])) + 1
	}
	to := from
	for n = 0; to < len(pieces) && n < excerptRunes; to++ {
		n += len([]rune(pieces[to])) + 1
	}
	out := strings.Join(pieces[from:to], " ")
	if from > 0 {
		out = "… " + out
	}
	if to < len(pieces) {
		out += " …"
	}
	return out
}

func containsAny(text string, words []string) bool {
	for _, w := range words {
		if strings.Contains(text, w) {
			return true
		}
	}
	return false
}
