package working

import "strings"

// reportedMost is how many letters of a statement without a name its progress is
// reported with.
const reportedMost = 30

// progressOf returns what reports the progress of an item with the name that the item
// defines, or its text: "sum for θ". It is nil if nobody listens.
func (w *Working) progressOf(it *item) func(fraction float64, what string) {
	if w.Progress == nil {
		return nil
	}
	w.reporting = it
	if w.reportsFor == nil { // one function for all items, since most never report
		w.reportsFor = func(fraction float64, what string) { w.Progress(fraction, what+" for "+w.reporting.called()) }
	}
	return w.reportsFor
}

// called is what an item is called beside its progress.
func (it *item) called() string {
	if it.defines != "" {
		return it.defines
	}
	text := []rune(strings.Join(strings.Fields(it.span().Content()), " "))
	if len(text) > reportedMost {
		return string(text[:reportedMost-1]) + "…"
	}
	return string(text)
}
