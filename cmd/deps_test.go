// Package cmd holds the programs. Its test holds the rules of who may import
// whom.
package cmd

import (
	"bytes"
	"os/exec"
	"slices"
	"strings"
	"testing"
)

// rooms is a statement of policy: each package with the packages of this
// module, and the third-party modules, that it may import. Do not change it to
// make a build pass; change the import.
var rooms = map[string][]string{
	"kernel/source":            {},
	"kernel/elementary":        {},
	"kernel/unit":              {"kernel/elementary", "golang.org/x/text"},
	"kernel/interval":          {"kernel/elementary"},
	"kernel/notation":          {"kernel/source", "kernel/unit", "golang.org/x/text"},
	"kernel/algebra":           {"kernel/notation", "kernel/source", "kernel/unit"},
	"kernel/num":               {"kernel/elementary", "gonum.org/v1/gonum"},
	"kernel/leastsquares":      {"kernel/elementary"},
	"kernel/certify":           {"kernel/elementary", "kernel/interval", "gonum.org/v1/gonum"},
	"kernel/shaft":             {"kernel/elementary", "kernel/source", "kernel/interval", "kernel/num", "kernel/certify", "gonum.org/v1/gonum"},
	"kernel/symbol":            {"kernel/unit"},
	"kernel/words":             {},
	"kernel/pause":             {},
	"kernel/pattern":           {},
	"kernel/lru":               {},
	"kernel/figure":            {"kernel/elementary", "kernel/lru", "kernel/unit"},
	"kernel/figure/canvas":     {"kernel/typeset/box", "kernel/typeset/measure", "kernel/elementary", "kernel/unit", "kernel/figure", "gonum.org/v1/plot", "codeberg.org/go-fonts/stix", "golang.org/x/image"},
	"kernel/figure/plot":       {"kernel/elementary", "kernel/figure", "kernel/figure/canvas", "gonum.org/v1/plot", "golang.org/x/image"},
	"kernel/figure/shaft":      {"kernel/elementary", "kernel/unit", "kernel/figure", "kernel/figure/canvas", "gonum.org/v1/plot"},
	"kernel/figure/figuretest": {"kernel/figure", "kernel/figure/canvas", "codeberg.org/go-fonts/stix"},
	"kernel/typeset":           {"kernel/notation", "kernel/source", "kernel/unit", "kernel/typeset/box"},
	"kernel/typeset/box":       {},
	"kernel/typeset/tex":       {"kernel/typeset/box"},
	"kernel/typeset/measure":   {"kernel/typeset/box"},
	"kernel/check":             {"kernel/pattern", "kernel/words", "kernel/source", "kernel/unit", "kernel/notation"},
	"kernel/repair":            {"kernel/check", "kernel/notation", "kernel/source"},
	"kernel/toposort":          {},
	"kernel/bigfloat":          {"kernel/elementary"},
	"kernel/derive": {"kernel/elementary", "kernel/lru", "kernel/words", "kernel/source", "kernel/unit", "kernel/notation", "kernel/algebra", "kernel/check", "kernel/bigfloat",
		"kernel/pause", "kernel/repair", "kernel/typeset"},
	"kernel/program": {"kernel/pause", "kernel/elementary", "kernel/words", "kernel/source", "kernel/unit", "kernel/interval", "kernel/notation", "kernel/algebra", "kernel/num",
		"kernel/certify", "kernel/bigfloat", "golang.org/x/sys"},
	"kernel/working": {"kernel/pattern", "kernel/pause", "kernel/elementary", "kernel/words", "kernel/source", "kernel/unit", "kernel/interval", "kernel/notation", "kernel/check", "kernel/repair", "kernel/toposort",
		"kernel/program", "kernel/certify", "kernel/leastsquares", "kernel/shaft", "kernel/figure", "kernel/figure/plot", "kernel/figure/shaft", "kernel/typeset"},
	"kernel": {"kernel/working"},

	// A marker gets numbers through an interface of its own, so that what an
	// exercise is can change without it.
	"exercises": {"kernel/pattern", "exercises/marking", "exercises/yamltext", "kernel", "kernel/check", "kernel/derive", "kernel/notation", "kernel/source", "kernel/typeset", "kernel/unit",
		"go.yaml.in/yaml/v3"},
	"exercises/class":          {"kernel/words", "exercises/marking", "exercises/store", "gonum.org/v1/gonum"},
	"exercises/store":          {},
	"lessons/guess":            {"exercises/marking", "exercises/yamltext", "kernel", "kernel/check", "kernel/figure", "kernel/figure/plot", "kernel/notation", "kernel/pattern", "kernel/source", "kernel/unit", "go.yaml.in/yaml/v3"},
	"lessons/folder":           {"github.com/fsnotify/fsnotify"},
	"lessons/template":         {},
	"lessons/reference":        {"exercises/yamltext", "kernel/notation", "kernel/pattern", "kernel/source", "kernel/unit", "go.yaml.in/yaml/v3"},
	"exercises/store/contract": {"exercises/class", "exercises/store"},
	"exercises/marking":        {"kernel/pattern", "kernel/words", "kernel", "kernel/algebra", "kernel/check", "kernel/notation", "kernel/source", "kernel/unit"},
}

// houses is the same inside web: each package of web with the packages of web that
// it may import. Nothing points back: web uses the handlers, they use app, page and
// request, and what app knows it knows without a request.
var houses = map[string][]string{
	"web":           {"web/account", "web/classroom", "web/reader", "web/live", "web/metrics", "web/request", "web/page", "web/socket", "web/static", "web/turns", "web/app/assignment", "web/app/attempt", "web/app/authoring", "web/app/proofread", "web/app/throttle"},
	"web/account":   {"web/account/password", "web/app/throttle", "web/request", "web/page", "web/app/token", "web/app/enrolment"},
	"web/classroom": {"web/turns", "web/request", "web/page", "web/compress", "web/socket", "web/app"},
	"web/reader":    {"web/turns", "web/request", "web/page", "web/compress", "web/app"},
	"web/request":   {"web/turns", "web/page", "web/compress", "web/app/assignment", "web/app/attempt", "web/app/enrolment"},
	"web/live":      {"web/turns", "web/socket", "web/page", "web/app/derivation"},
	"web/page":      {"web/app/derivation", "web/app/handout"},
	"web/static":    {"web/compress"},

	"web/account/password": {},
	"web/compress":         {},
	"web/metrics":          {},
	"web/socket":           {},
	"web/turns":            {},

	"web/app/assignment": {"web/turns", "web/page", "web/app/attempt", "web/app/handout"},
	"web/app/attempt":    {"web/turns", "web/page", "web/app/throttle"},
	"web/app/authoring":  {"web/turns"},
	"web/app/demo":       {"web/app/attempt", "web/app/assignment", "web/app/sharing", "web/page"},
	"web/app/enrolment":  {},
	"web/app/derivation": {},
	"web/app/download":   {},
	"web/app/gradebook":  {"web/app/attempt"},
	"web/app/handout":    {},
	"web/app/ownpage":    {"web/app/derivation"},
	"web/app/practice":   {"web/app/attempt", "web/app/assignment"},
	"web/app/proofread":  {},
	"web/app/regrade":    {"web/turns", "web/page", "web/app/assignment", "web/app/attempt"},
	"web/app/room":       {"web/turns", "web/page", "web/app/attempt"},
	"web/app/search":     {"web/page"},
	"web/app/sharing":    {"web/app/throttle", "web/app/token"},
	"web/app/throttle":   {},
	"web/app/token":      {},

	"web/browsertest": {}, // tests only
}

// floors orders the top-level folders; a package imports only from its own
// floor and those below.
var floors = []string{"kernel", "exercises", "lessons", "web", "cmd"}

// homes lists which packages may import a module that belongs in one place.
var homes = map[string]string{
	"github.com/yuin/goldmark":     "lessons",
	"github.com/gorilla/websocket": "web/socket",
	"github.com/prometheus":        "web/metrics",
	"gonum.org/v1/plot":            "kernel/figure",
	"codeberg.org/go-pdf/fpdf":     "web/app/handout",
	"golang.org/x/crypto":          "web/account/password",
	"net/http":                     "web",
	"database/sql":                 "exercises/store",
	"modernc.org/sqlite":           "exercises/store",
	"github.com/jackc/pgx/v5":      "exercises/store",
}

func TestImports(t *testing.T) {
	const module = "shaftbook/"
	out, err := exec.Command("go", "list", "-f", "{{.ImportPath}} {{join .Imports \" \"}}", "shaftbook/...").Output()
	if err != nil {
		t.Fatal(err)
	}
	for line := range bytes.Lines(out) {
		fields := strings.Fields(string(line))
		pkg, imports := strings.TrimPrefix(fields[0], module), fields[1:]
		for _, imported := range imports {
			own := strings.TrimPrefix(imported, module)
			if own != imported && floor(own) > floor(pkg) {
				t.Errorf("%s imports %s, which stands above it", pkg, own)
			}
			if allowed, ok := rooms[pkg]; ok && strings.Contains(imported, "/") && isModule(imported) && !mayImport(allowed, own) {
				t.Errorf("%s imports %s, which its rule does not allow", pkg, own)
			}
			if allowed, ok := houses[pkg]; ok && under(own, "web") && !mayImport(allowed, own) {
				t.Errorf("%s imports %s, which its rule does not allow", pkg, own)
			}
			if imported == "net/http" && under(pkg, "web/app") {
				t.Errorf("%s imports net/http; what it knows it knows without a request", pkg)
			}
			for prefix, home := range homes {
				if under(imported, prefix) && !under(pkg, home) && !(prefix == "net/http" && under(pkg, "cmd")) {
					t.Errorf("%s imports %s, which only %s may", pkg, imported, home)
				}
			}
		}
		if _, ok := houses[pkg]; !ok && under(pkg, "web") {
			t.Errorf("%s has no rule: add it to houses with what of web it may import", pkg)
		}
		if _, ok := rooms[pkg]; !ok && under(pkg, "kernel") && !strings.HasSuffix(pkg, "testdata") {
			t.Errorf("%s has no rule: add it to rooms with what it may import", pkg)
		}
	}
}

// isModule tells third-party and own packages from the standard library.
func isModule(path string) bool {
	first, _, _ := strings.Cut(path, "/")
	return strings.Contains(first, ".") || first == "shaftbook"
}

func mayImport(allowed []string, path string) bool {
	return slices.ContainsFunc(allowed, func(a string) bool {
		if strings.HasPrefix(a, "kernel") {
			return path == a
		}
		return under(path, a)
	})
}

func under(path, prefix string) bool { return path == prefix || strings.HasPrefix(path, prefix+"/") }

func floor(pkg string) int {
	first, _, _ := strings.Cut(pkg, "/")
	return slices.Index(floors, first)
}
