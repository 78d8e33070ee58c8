package web

import (
	"regexp"
	"strings"
	"unicode"

	"golang.org/x/text/cases"
	"golang.org/x/text/unicode/norm"

	"shaftbook/lessons"
	"shaftbook/web/page"
)

const (
	queryLimit   = 100 // characters
	foundLimit   = 50  // places shown
	excerptRunes = 130
)

// A section is a piece of a lesson under one heading, as a search sees it.
type section struct {
	lesson  *lessons.Lesson
	id      string // the heading's anchor; "" before the first
	heading string
	line    int    // of the heading, from 1
	text    string // what stands under the heading, spaces single
	folded  string // heading and text, for comparing
}

// sectionsOf cuts a lesson at its headings. Headings within fences are none.
func sectionsOf(l *lessons.Lesson) []section {
	sections := []section{{lesson: l, heading: l.Title, line: 1}}
	lines := strings.Split(l.Text.Content, "\n")
	headings, fence, hidden := l.Headings, "", false
	var text []string
	end := func() {
		s := &sections[len(sections)-1]
		s.text = strings.Join(strings.Fields(plain(strings.Join(text, " "))), " ")
		s.folded = fold(s.heading + " " + s.text)
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
			sections = append(sections, section{lesson: l, id: headings[0].ID, heading: headings[0].Text, line: i + 1})
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

// find returns the places in which all words of a query stand.
func (b *book) find(query string) []page.Found {
	words := strings.Fields(fold(query))
	var found []page.Found
	for _, s := range b.sections {
		if len(words) == 0 || len(found) == foundLimit || !hasAll(s.folded, words) {
			continue
		}
		f := page.Found{Lesson: s.lesson.Title, Heading: s.heading, Path: lessons.Path(s.lesson.Slug), Excerpt: excerpt(s.text, words)}
		if s.id != "" {
			f.Path += "#" + s.id
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
