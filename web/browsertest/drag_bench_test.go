package browsertest

import (
	"testing"

	"shaftbook/lessons/text"
)

// drag moves a slider in each of many frames, as a pointer does, and notes for each move
// how long it was until the page showed a result of it or of a later move, and how many
// frames began until then. The result is painted in the next frame.
const drag = `async (moves) => {
	const slider = document.querySelector(".row[data-kind=vary][data-name=n]"), range = slider.querySelector("input[type=range]");
	const waiting = [], times = [], frames = [];
	let frame = 0, running = true;
	const tick = () => { frame++; if (running) requestAnimationFrame(tick); };
	requestAnimationFrame(tick);
	const seen = new MutationObserver(() => {
		const now = performance.now();
		// A result answers the move that it is of and those before.
		const answered = waiting.findLastIndex(({ value }) => value === slider.dataset.value);
		for (const { at, begun } of waiting.splice(0, answered + 1)) { times.push(now - at); frames.push(frame - begun + 1); }
	});
	seen.observe(slider.closest(".cell"), { subtree: true, childList: true, characterData: true, attributes: true, attributeFilter: ["data-value"] });
	const next = () => new Promise(requestAnimationFrame);
	for (let i = 0; i < moves; i++) {
		await next();
		range.value = String(1 + i % 39);
		waiting.push({ at: performance.now(), begun: frame, value: range.value });
		range.dispatchEvent(new Event("input", { bubbles: true }));
		seen.takeRecords(); // what the move itself has changed is not the result
	}
	const last = range.value;
	while (waiting.length) await next();
	running = false;
	seen.disconnect();
	const sorted = [...times].sort((a, b) => a - b), at = (p) => sorted[Math.floor(p * (sorted.length - 1))];
	return [at(0.5), at(0.95), frames.filter((f) => f <= 2).length / frames.length, Number(last)];
}`

// BenchmarkDrag drags the slider of the taper lesson in a real browser: how long it is
// from a move to the changed page, at the median and at 95 %, and the share of moves that
// are painted no later than in the second frame after the input. For a machine with
// nothing else to do; nothing here passes or fails. The floor is a round trip of the
// socket, about 0.3 ms; the bar is 8 ms at the median and every move in the second frame.
func BenchmarkDrag(b *testing.B) {
	s := serveFiles(b, 0, text.Files)
	page := newTab(b, 1280, 720)
	page.open(s.URL() + "lesson/taper-in-segments")
	page.until("document.querySelector('.row[data-kind=vary][data-name=n] input[type=range]')?.disabled === false")
	// Each guess is passed, so that all results are there to be changed.
	eval[bool](page, "([...document.querySelectorAll('button[name=show]')].forEach((b) => b.click()), true)")
	page.until("document.querySelectorAll('.row[data-cover]').length === 0")
	page.until("(document.querySelector('.row[data-kind=draw]').scrollIntoView({ block: 'start', behavior: 'instant' }), true)")
	_ = eval[[]float64](page, "("+drag+")(60)") // what is evaluated for the first time
	var sums [3]float64
	for b.Loop() {
		got := eval[[]float64](page, "("+drag+")(200)")
		for i := range sums {
			sums[i] += got[i]
		}
	}
	n := float64(b.N)
	b.ReportMetric(sums[0]/n, "ms/median")
	b.ReportMetric(sums[1]/n, "ms/p95")
	b.ReportMetric(100*sums[2]/n, "%second-frame")
	b.ReportMetric(0, "ns/op")
}
