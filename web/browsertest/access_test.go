package browsertest

import (
	"archive/tar"
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"sync"
	"testing"

	"github.com/chromedp/chromedp"
)

// axe-core holds pages against the machine-checkable part of WCAG. It comes
// from the npm registry, for tests only.
const (
	axePackage = "axe-core@4.14.1"
	axeSum     = "e6b0ce02b84d892e2e33e403485e7f3d6c29e2be6df65daf44d89ba564139745" // SHA-256 of the package as fetched
)

// axe returns the text of axe-core, fetched once.
var axe = sync.OnceValues(func() (string, error) {
	npm, err := exec.LookPath("npm")
	if err != nil {
		return "", errors.New("these tests need npm for " + axePackage + ": apt-get install npm")
	}
	dir, err := os.MkdirTemp("", "shaftbook-axe-")
	if err != nil {
		return "", err
	}
	defer os.RemoveAll(dir)
	if out, err := exec.Command(npm, "pack", axePackage, "--prefer-offline", "--pack-destination", dir).CombinedOutput(); err != nil {
		return "", fmt.Errorf("npm pack %s: %w\n%s", axePackage, err, out)
	}
	packages, err := filepath.Glob(filepath.Join(dir, "*.tgz"))
	if err != nil || len(packages) != 1 {
		return "", fmt.Errorf("npm pack left %q (%v), want one package", packages, err)
	}
	body, err := os.ReadFile(packages[0])
	if err != nil {
		return "", err
	}
	if sum := sha256.Sum256(body); hex.EncodeToString(sum[:]) != axeSum {
		return "", fmt.Errorf("%s has the sum %x, want %s", axePackage, sum, axeSum)
	}
	return fileOf(body, "package/axe.min.js")
})

// fileOf takes one file out of a compressed archive.
func fileOf(archive []byte, name string) (string, error) {
	plain, err := gzip.NewReader(bytes.NewReader(archive))
	if err != nil {
		return "", err
	}
	for files := tar.NewReader(plain); ; {
		head, err := files.Next()
		if err != nil {
			return "", fmt.Errorf("looking for %s: %w", name, err)
		}
		if head.Name == name {
			body, err := io.ReadAll(files)
			return string(body), err
		}
	}
}

// barriers asks axe for everything that WCAG 2.2 AA or common good practice
// forbids, as "rule: where".
func (b *tab) barriers() []string {
	b.t.Helper()
	text, err := axe()
	if err != nil {
		b.t.Fatal(err)
	}
	eval[bool](b, "if (!window.axe) {"+text+"}; true")
	return eval[[]string](b, `axe.run(document, {runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"], resultTypes: ["violations"]})
		.then((r) => r.violations.flatMap((v) => v.nodes.map((n) => v.id + ": " + n.target.join(" ") + " — " + n.failureSummary.replace(/\s+/g, " "))))`)
}

func TestNoPageHasABarrier(t *testing.T) {
	t.Parallel()
	s := serve(t, 0)
	for _, p := range pages {
		t.Run(p.name, func(t *testing.T) {
			t.Parallel()
			b := newTab(t, 1280, 900)
			b.open(s.URL() + p.path)
			b.until("document.readyState === 'complete' && document.fonts.status === 'loaded'")
			if p.prepare != nil {
				p.prepare(b)
			}
			for _, look := range []struct {
				name, scheme  string
				width, height int64
			}{{"light", "light", 1280, 900}, {"dark", "dark", 1280, 900}, {"narrow", "light", 360, 740}} {
				b.scheme(look.scheme)
				b.do(chromedp.EmulateViewport(look.width, look.height))
				for _, found := range b.barriers() {
					t.Errorf("%s: %s", look.name, found)
				}
			}
			b.clean()
		})
	}
}

// pages are all kinds of pages, and the states in which a page shows more.
var pages = []struct {
	name, path string
	prepare    func(b *tab)
}{
	{"shelf", "", nil},
	{"shelf with a path open", "", func(b *tab) {
		eval[bool](b, "document.querySelectorAll('.paths details').forEach((d) => d.open = true) || true")
	}},
	{"what was found", "?q=taper", nil},
	{"a word that was found", "?q=compliance", nil},
	{"glossary", "glossary#flexibility", nil},
	{"symbols", "symbols", nil},
	{"the keys", "", func(b *tab) {
		eval[bool](b, "document.querySelector('.js-keys-open').click() || true")
		b.until("document.querySelector('dialog.js-keys').open")
	}},
	{"a page that is not there", "lesson/none", nil},
	{"lesson", "lesson/quill", (*tab).live},
	{"board, half-way", "lesson/quill/board#step-8", func(b *tab) {
		b.until("document.querySelector('.js-count').textContent.startsWith('step 8 of ')")
		b.press("p")
		b.until("document.querySelector('.board-pointer').checkVisibility()")
	}},
	{"lesson with everything open", "lesson/quill", func(b *tab) {
		b.live()
		eval[bool](b, "document.querySelectorAll('details').forEach((d) => d.open = true) || true")
	}},
	{"lesson with a derivation, everything open and a wrong step", "lesson/quill-derived", func(b *tab) {
		b.until("document.querySelector('#derive-1 .js-text')")
		b.inText("derive-1", "(3·k)")
		b.until("document.querySelector('#derive-1 .palette')")
		b.press("3")
		b.untilVerdicts("derive-1", "- - - follows fails* gap fails")
		eval[bool](b, "document.querySelectorAll('details').forEach((d) => d.open = true) || true")
	}},
	{"the starting points of derivations", "derivation", func(b *tab) {
		eval[bool](b, "document.querySelectorAll('details').forEach((d) => d.open = true) || true")
	}},
	{"an empty derivation", "derivation?start=empty", func(b *tab) { b.until("document.querySelector('#own .palette')") }},
	{"a derivation with every verdict", "derivation?start=mistake", func(b *tab) {
		b.until("document.querySelector('#own .palette')")
		eval[bool](b, "document.querySelectorAll('details').forEach((d) => d.open = true) || true")
	}},
	{"lesson with an error", "lesson/quill", func(b *tab) {
		b.text("calc-1")
		b.press("\nbad = T + L")
		b.until("document.querySelector('#calc-1 .message')")
	}},
}

// live waits until the scripts have attached.
func (b *tab) live() {
	b.t.Helper()
	b.until("document.querySelector('#calc-2-1 input[type=range]')?.disabled === false")
}
