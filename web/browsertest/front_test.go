package browsertest

import (
	"testing"

	"github.com/chromedp/chromedp/kb"
)

// The shaft on the front page follows its slider, between its two uniform bars. With
// equal ends all three are T·L/(G·π/32·d⁴) = 0.3078°, with half the diameter the soft
// one is 16 times as soft (any book on torsion; the numbers by hand).
func TestTheFrontPageHasALiveShaft(t *testing.T) {
	t.Parallel()
	s := serve(t, 0)
	b := newTab(t, 1280, 720)
	b.open(s.URL())
	b.until("document.querySelector('.front input[type=range]')?.disabled === false")
	if got := eval[bool](b, "document.querySelector('.front figure, .front svg').getBoundingClientRect().top < innerHeight"); !got {
		t.Error("the drawing does not stand on the first screen")
	}
	if got := eval[bool](b, "document.querySelector('.shelf-next a').getBoundingClientRect().bottom < innerHeight && document.querySelector('.shelf-next').textContent.startsWith('Begin with')"); !got {
		t.Error("the first screen does not say where to begin")
	}
	// The browser of the tests has no hover, as a telephone: its buttons on a cell are 44 px
	// high, on a laptop 24 px.
	bottom := eval[float64](b, "document.querySelector('.front [data-part=verdict], .front .verdict').getBoundingClientRect().bottom - Math.max(0, document.querySelector('.front .cell-actions').offsetHeight - 24)")
	if bottom > 720 {
		t.Errorf("the bracket ends at %.0f px, below slider and drawing, want within the first screen", bottom)
	}
	b.tabTo(".front input[type=range]")
	b.press(kb.End)
	b.until("[...document.querySelectorAll('.front .result')].filter(r => r.textContent === '0.308°').length === 3")
	b.press(kb.Home)
	b.until("[...document.querySelectorAll('.front .result')].some(r => r.textContent === '4.92°')")
	// Nothing of it is kept: the next visitor sees the page as it is.
	b.open(s.URL())
	b.until("document.querySelector('.front input[type=range]')?.disabled === false")
	b.until("[...document.querySelectorAll('.front .result')].some(r => r.textContent === '0.731°')")
	b.clean()
}
