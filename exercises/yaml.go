package exercises

import (
	"fmt"
	"strconv"

	"go.yaml.in/yaml/v3"

	"shaftbook/exercises/yamltext"
	"shaftbook/kernel/source"
)

// MaxBlock is the largest exercise that is read, in bytes.
const MaxBlock = 64 << 10

// A reader turns the YAML of one block into an exercise and gathers what is
// wrong with it.
type reader struct{ *yamltext.Block }

func newReader(text *source.Text) *reader {
	return &reader{yamltext.NewBlock(text, yamltext.Form{
		Noun: "exercise", A: "an exercise", Most: MaxBlock, First: "title: …", Smaller: "split it into several",
		YAML: CodeYAML, Key: CodeKey, Value: CodeValue,
	})}
}

// number reads a number within limits.
func (r *reader) number(n *yaml.Node, what string, least, most float64) (float64, bool) {
	s, ok := r.Scalar(n, what)
	if !ok {
		return 0, false
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil || !(v >= least && v <= most) {
		r.List.Addf(r.Span(n), CodeValue, "%s is a number from %g to %g", what, least, most).Repair = fmt.Sprintf("write a plain number, such as %s: %g", what, max(least, 1))
		return 0, false
	}
	return v, true
}
