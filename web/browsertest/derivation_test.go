package browsertest

import (
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// verdicts are the verdicts of all lines of a derivation, "" for a line that
// claims nothing, and a star after the one that is marked as the first wrong.
func (b *tab) verdicts(cell string) string {
	b.t.Helper()
	return eval[string](b, "[...document.querySelectorAll('#"+cell+" .rows > .row')].map((r) => (r.dataset.verdict || '-') + (r.dataset.first === 'true' ? '*' : '')).join(' ')")
}

func (b *tab) untilVerdicts(cell, want string) {
	b.t.Helper()
	b.until("[...document.querySelectorAll('#" + cell + " .rows > .row')].map((r) => (r.dataset.verdict || '-') + (r.dataset.first === 'true' ? '*' : '')).join(' ') === '" + want + "'")
}

// inText selects a piece of the text of a derivation.
func (b *tab) inText(cell, piece string) {
	b.t.Helper()
	eval[bool](b, `(() => {
		const root = document.querySelector("#`+cell+`"), details = root.querySelector(".js-text");
		if (details) details.open = true;
		const area = root.querySelector("textarea"), at = area.value.indexOf("`+piece+`");
		area.focus();
		area.setSelectionRange(at, at + "`+piece+`".length);
		return at >= 0;
	})()`)
}

func TestLearnerBreaksAndMendsADerivation(t *testing.T) {
	t.Parallel()
	s := serve(t, 0)
	b := newTab(t, 1280, 900)
	b.open(s.URL() + "lesson/quill-derived")
	b.until("document.querySelector('#derive-1 .js-rows')")
	if got, want := b.verdicts("derive-1"), "- - - follows follows gap follows"; got != want {
		t.Fatalf("the server shows %q, want %q", got, want)
	}

	// A slip: the slope of the inner function goes missing. That line and only
	// that line is marked, with what kind of mistake it is.
	b.until("document.querySelector('#derive-1 .js-text')")
	b.inText("derive-1", "(3·k)")
	b.press("3")
	b.untilVerdicts("derive-1", "- - - follows fails* gap fails")
	if wrong := eval[string](b, "document.querySelector('#derive-1-5 .wrong').innerHTML"); !strings.Contains(wrong, "1/k") || !strings.Contains(wrong, `data-slip="chain-rule"`) || !strings.Contains(wrong, `class="quantity"`) {
		t.Errorf("the wrong line says %s", wrong)
	}
	if got := eval[string](b, "document.querySelector('#derive-1 .under .bad').textContent"); !strings.HasPrefix(got, "= 32·T/(π·G) · (1/d_0^3 − 1/d_1^3)/3") || strings.Contains(got, "because") {
		t.Errorf("the text marks %q", got)
	}

	// The gap, filled as if the line above were right: the line after it is
	// then right by itself, and what fills the gap is not.
	b.do(chromedp.Click(chromedp.CSS("#derive-1-gap-1")))
	b.press("32·T·L/(3·π·G) · (1/d_0^3 − 1/d_1^3)/(d_1 − d_0)")
	b.untilVerdicts("derive-1", "- - - follows fails* fails follows")
	if got := eval[string](b, "document.activeElement.id"); got != "derive-1-gap-1" {
		t.Errorf("typing into the gap left the focus on %q", got)
	}

	// Mended, all follow; the browser keeps both over a reload.
	b.inText("derive-1", "/3 ")
	b.press("/(3·k) ")
	b.untilVerdicts("derive-1", "- - - follows follows follows follows")
	b.until("document.querySelector('#derive-1 .js-summary [data-outcome=follows]')")
	b.do(chromedp.Reload())
	b.untilVerdicts("derive-1", "- - - follows follows follows follows")

	// An open bracket in the gap says so there, and spoils no other line.
	b.do(chromedp.Click(chromedp.CSS("#derive-1-gap-1")))
	b.press(kb.End)
	b.press("·(")
	b.untilVerdicts("derive-1", "- - - follows follows gap follows")
	b.until("document.querySelector('#derive-1-6 .message')")

	// Back to the lesson's text, and back to one's own.
	b.do(chromedp.Click(chromedp.CSS("#derive-1 .js-restore")))
	b.untilVerdicts("derive-1", "- - - follows follows gap follows")
	// The judgement is in, and with it the page's layout: a click that is aimed
	// before would miss the button.
	b.until("document.querySelector('#derive-1-gap-1').value === '' && !document.querySelector('#derive-1-6 .message')")
	b.do(chromedp.Click(chromedp.CSS("#derive-1 .js-restore")))
	b.until("document.querySelector('#derive-1-gap-1').value.endsWith('·(') && document.querySelector('#derive-1-6 .message')")
	b.do(chromedp.Click(chromedp.CSS(".js-restore-all")))
	b.untilVerdicts("derive-1", "- - - follows follows gap follows")
	b.until("document.querySelector('#derive-1-gap-1').value === '' && document.querySelector('.js-restore-all').hidden")
	b.clean()
}

// The twist of 420 N·m over 800 mm from 36 mm to 54 mm at G = 79 GPa is
// 0.6933 deg = 0.0121 rad (slice theory, mpmath 1.3 at 50 digits).
func TestLearnerPutsNumbersIn(t *testing.T) {
	t.Parallel()
	s := serve(t, 0)
	b := newTab(t, 1280, 900)
	b.open(s.URL() + "lesson/quill-derived")
	b.until("document.querySelector('#derive-1 .js-numbers')")
	b.do(chromedp.Click(chromedp.CSS("#derive-1 .js-numbers > summary")))
	// The lesson has numbers for all names but one.
	b.until("document.querySelector('#derive-1 .js-run').textContent.startsWith('d_0 ')")
	b.do(chromedp.Click(chromedp.CSS("#derive-1-data-d_0")))
	b.press("36")
	b.until("document.querySelector('#derive-1-data-d_0-said').textContent !== ''")
	b.do(chromedp.Click(chromedp.CSS("#derive-1-data-d_0")))
	b.press(kb.End)
	b.press(" mm")
	b.until("document.querySelector('#derive-1 .js-run .agree')")
	for _, row := range []string{"3", "4", "5", "7"} {
		if got := eval[string](b, "document.querySelector('#derive-1-"+row+" .line-value').textContent"); !strings.Contains(got, "0.0121") {
			t.Errorf("line %s shows %q, want 0.0121", row, got)
		}
	}
	b.do(chromedp.Reload())
	b.until("document.querySelector('#derive-1 .js-run .agree')")
	b.inText("derive-1", "(3·π·G)")
	b.press("(π·G)")
	b.until("document.querySelector('#derive-1 .js-run .parts')")
	b.until("document.querySelector('#derive-1-7 .parts')")
	b.clean()
}

// A server that keeps nothing leaves the text in the browser.
func TestLearnerPastesADerivationOfTheirOwn(t *testing.T) {
	t.Parallel()
	s := serve(t, 0)
	b := newTab(t, 1280, 900)
	b.open(s.URL())
	b.do(chromedp.Click(chromedp.CSS("a[href='/derivation']")))
	b.until("document.querySelector(\"a[href='/derivation?start=empty']\")")
	b.do(chromedp.Click(chromedp.CSS("a[href='/derivation?start=empty']")))
	b.until("document.querySelector('#own .palette')") // the scripts have attached
	eval[bool](b, "document.querySelector('#own textarea').focus() || true")
	eval[bool](b, `document.execCommand("insertText", false, "given T: torque > 0, d: length > 0\nJ = π/32·d^4\nτ = T·(d/2)/J\n  = T·(d/2)/(π/32·d^4)\n  = 8·T/(π·d^3)\n  = 8/π·T/d^3")`)
	b.untilVerdicts("own", "- - - follows fails* follows")
	if got := eval[string](b, "document.querySelector('#own-5 .wrong').innerHTML"); !strings.Contains(got, `data-slip="factor"`) {
		t.Errorf("the wrong line says %q", got)
	}
	b.do(chromedp.Reload())
	b.untilVerdicts("own", "- - - follows fails* follows")

	// What is copied reads back.
	if got := eval[string](b, "document.querySelector('#own .js-plain').textContent"); !strings.Contains(got, "\n  = 8·T/(π·d^3)\n") {
		t.Errorf("the plain text is %q", got)
	}
	if got := eval[string](b, "document.querySelector('#own .js-tex').textContent"); !strings.HasPrefix(got, "\\begin{align*}") {
		t.Errorf("the TeX is %q", got)
	}
	b.clean()
}

// Without scripts the page is a form that says the same.
func TestDerivationWithoutScripts(t *testing.T) {
	t.Parallel()
	s := serve(t, 0)
	b := newTab(t, 360, 740)
	b.noScripts()
	b.open(s.URL() + "lesson/quill-derived")
	b.do(chromedp.Focus(chromedp.CSS("#derive-1-gap-1")))
	b.press("1/2·(1 N)")
	b.until("document.querySelector('#derive-1-gap-1').value === '1/2·(1 N)'")
	b.do(chromedp.Click(chromedp.CSS("#derive-1 button[type=submit].plain")))
	b.until("document.querySelector('#own')")
	if got, want := b.verdicts("own"), "- - - follows follows fails* fails"; got != want {
		t.Errorf("the page shows %q, want %q", got, want)
	}
	if got := eval[string](b, "document.querySelector('#own-gap-1').value"); got != "1/2·(1 N)" {
		t.Errorf("the gap holds %q", got)
	}
	if wide := eval[int](b, "document.documentElement.scrollWidth"); wide > 360 {
		t.Errorf("the page is %d px wide in a window of 360", wide)
	}
}

func (b *tab) noScripts() {
	b.t.Helper()
	if _, err := chromedp.Call(b.ctx, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true}); err != nil {
		b.t.Fatal(err)
	}
}
