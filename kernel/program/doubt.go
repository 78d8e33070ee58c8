package program

import (
	"sync"

	"shaftbook/kernel/certify"
	"shaftbook/kernel/source"
)

// A Doubt says that a form came to an estimate: its value is not proven to lie
// within its error estimate.
type Doubt struct {
	Span   source.Span // the form
	Reason certify.Reason
	Where  float64 // the place that Reason is about, in SI base units
}

type doubts struct {
	sync.Mutex
	list []Doubt
}

// Doubts returns the forms of the run that came to estimates, each once.
func (r *Run) Doubts() []Doubt {
	r.doubt.Lock()
	defer r.doubt.Unlock()
	return append([]Doubt(nil), r.doubt.list...)
}

// doubted notes that a form came to an estimate.
func (r *Run) doubted(at source.Span, e certify.Enclosure) {
	r.doubt.Lock()
	defer r.doubt.Unlock()
	for _, d := range r.doubt.list {
		if d.Span == at {
			return
		}
	}
	r.doubt.list = append(r.doubt.list, Doubt{Span: at, Reason: e.Reason, Where: e.Where})
}
