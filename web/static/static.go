// Package static holds the style sheet, the scripts and the fonts of the
// pages, under addresses that change with their content, so that browsers may
// keep them for ever.
package static

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"io/fs"
	"net/http"
	"path"
	"regexp"
	"slices"
	"strings"
	"sync"

	"codeberg.org/go-fonts/stix/stix2mathregular"
	"codeberg.org/go-fonts/stix/stix2textbold"
	"codeberg.org/go-fonts/stix/stix2textitalic"
	"codeberg.org/go-fonts/stix/stix2textregular"

	"shaftbook/web/compress"
)

//go:embed css/*.css js/*.js icon.svg
var files embed.FS

const styleType = "text/css; charset=utf-8"

// Prefix is where the set is served.
const Prefix = "/static/"

// fonts by the name that the style sheet uses for them.
var fonts = []struct {
	name string
	data []byte
}{
	{"text-regular", stix2textregular.TTF},
	{"text-italic", stix2textitalic.TTF},
	{"text-bold", stix2textbold.TTF},
	{"maths", stix2mathregular.TTF},
}

// sheets are the style sheets, each with the files that it is made of, in this
// order: that of every page, and beside it that of the pages of classes and accounts,
// that of the board, that of one's own derivations and pages, and that of pages of blocks.
var sheets = []struct {
	name  string
	files []string
}{
	{"book.css", []string{"tokens", "page", "margin", "cell", "slider", "editor", "figure", "exercise", "derivation", "modes", "print"}},
	{"class.css", []string{"class", "account", "assign", "marks", "room", "sheet"}},
	{"board.css", []string{"board"}},
	{"own.css", []string{"own"}},
	{"lessondraft.css", []string{"lessondraft"}},
	{"blocks.css", []string{"blocks", "sharing"}},
	{"shelf.css", []string{"shelf", "reference"}},
	{"writing.css", []string{"writing"}},
}

// paper is the style sheet that shows on a screen what the others say of paper.
const paper = "paper.css"

// A Set is all static files of one version of the program.
type Set struct {
	byURL map[string]*compress.Bytes
	hash  string            // of the scripts; modules import each other by relative address
	sheet map[string]string // addresses of style sheets
	icon  string
	font  map[string]string
	mods  []string
}

// fontBytes are the fonts, in their order. They are most of what is hashed here and the
// same for every Set.
var fontBytes = sync.OnceValue(func() (all []*compress.Bytes) {
	for _, f := range fonts {
		all = append(all, compress.New("font/otf", f.data))
	}
	return all
})

// Prepare does what is the same for every Set.
func Prepare() { fontBytes() }

// New reads the embedded files. The only errors are faults of the build, so
// it panics on them.
func New() *Set {
	s := &Set{byURL: map[string]*compress.Bytes{}, font: map[string]string{}}
	for i, f := range fonts {
		s.font[f.name] = s.add(f.name+".otf", fontBytes()[i])
	}
	s.icon = s.Add("icon.svg", "image/svg+xml", mustRead("icon.svg"))
	s.addSheets()
	s.addScripts()
	return s
}

// Add puts one more file into the set and returns its address.
func (s *Set) Add(name, contentType string, body []byte) string {
	return s.add(name, compress.New(contentType, body))
}

func (s *Set) add(name string, b *compress.Bytes) string {
	url := Prefix + b.Hash() + "/" + name
	s.byURL[url] = b
	return url
}

// comment is one of a style sheet. No string in them has its sign.
var comment = regexp.MustCompile(`(?s)/\*.*?\*/\n?`)

// addSheets joins the style files.
func (s *Set) addSheets() {
	s.sheet = map[string]string{}
	for _, sheet := range sheets {
		var all bytes.Buffer
		for _, name := range sheet.files {
			all.Write(mustRead("css/" + name + ".css"))
		}
		text := comment.ReplaceAllString(all.String(), "") // for who changes the files, and not for who reads the pages
		for name, url := range s.font {
			text = strings.ReplaceAll(text, "font:"+name, url)
		}
		s.sheet[sheet.name] = s.Add(sheet.name, styleType, []byte(text))
	}
	text := string(mustRead("css/print.css"))
	if !strings.Contains(text, "@media print {") {
		panic("print.css has nothing for paper")
	}
	s.sheet[paper] = s.Add(paper, styleType, []byte(strings.ReplaceAll(text, "@media print {", "@media screen {")+string(mustRead("css/paper.css"))))
}

// others are the scripts that pages name themselves and those that main.js imports
// where a page needs them; those of the board, and of pages of blocks, import each other.
var others = []string{"theme.js", "main.js", "room.js", "zone.js", "here.js", "load.js", "trials.js", "segments.js", "ownlist.js", "ownpage.js", "fits.js", "states.js", "hand.js", "guess.js", "order.js", "sketch.js", "reveal.js", "clipboard.js", "changed.js", "writing.js", "lessondraft.js", "share.js", "written.js"}

// isMains reports whether main.js imports a script for every page.
func isMains(name string) bool {
	return !slices.Contains(others, name) && !strings.HasPrefix(name, "board") && !strings.HasPrefix(name, "page-")
}

// addScripts gives all modules one directory, named by a hash over all of
// them: a change in one changes the address of each.
func (s *Set) addScripts() {
	names := mustGlob("js/*.js")
	sum := sha256.New()
	for _, name := range names {
		sum.Write([]byte(name))
		sum.Write(mustRead(name))
	}
	s.hash = hex.EncodeToString(sum.Sum(nil)[:8])
	for _, name := range names {
		url := s.Script(path.Base(name))
		s.byURL[url] = compress.New("text/javascript; charset=utf-8", bytes.TrimPrefix(mustRead(name), []byte("// @ts-check"))) // lines keep their numbers
		if base := path.Base(name); isMains(base) {
			s.mods = append(s.mods, url)
		}
	}
}

// Stylesheet returns the address of a style sheet: book.css of every page, class.css,
// board.css, own.css, blocks.css, shelf.css, writing.css or paper.css.
func (s *Set) Stylesheet(name string) string { return s.sheet[name] }

// Icon returns the address of the mark that browsers put beside the title.
func (s *Set) Icon() string { return s.icon }

// Script returns the address of a script by its file name.
func (s *Set) Script(name string) string { return Prefix + s.hash + "/" + name }

// Modules returns the addresses of the modules that main.js imports.
func (s *Set) Modules() []string { return s.mods }

// Font returns the address of a font: text-regular, text-italic, text-bold or
// maths.
func (s *Set) Font(name string) string { return s.font[name] }

// ServeFile serves one file, or reports false when there is none.
func (s *Set) ServeFile(w http.ResponseWriter, r *http.Request) bool {
	b, ok := s.byURL[r.URL.Path]
	if !ok {
		return false
	}
	w.Header().Set("Cache-Control", "public, max-age=31536000, immutable")
	b.ServeHTTP(w, r)
	return true
}

func mustGlob(pattern string) []string {
	names, err := fs.Glob(files, pattern)
	if err != nil {
		panic(err)
	}
	return names
}

func mustRead(name string) []byte {
	body, err := files.ReadFile(name)
	if err != nil {
		panic(err)
	}
	return body
}
