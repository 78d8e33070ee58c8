package guess

import (
	"go.yaml.in/yaml/v3"

	"shaftbook/exercises/yamltext"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
)

// MaxBlock is the largest guess that is read, in bytes.
const MaxBlock = 16 << 10

// A reader turns the YAML of one block into a guess and gathers what is wrong with it.
type reader struct{ *yamltext.Block }

func newReader(text *source.Text) *reader {
	return &reader{yamltext.NewBlock(text, yamltext.Form{
		Noun: "guess", A: "a guess", Most: MaxBlock, First: "ask: …", Smaller: "ask one thing, with short options",
		YAML: CodeYAML, Key: CodeKey, Value: CodeValue,
	})}
}

// expr reads an expression of the notation, nil after reporting what is wrong.
func (r *reader) expr(n *yaml.Node, what string) notation.Expr {
	if _, ok := r.Scalar(n, what); !ok {
		return nil
	}
	x, list := notation.ParseExpr(r.TextOf(n, ""))
	r.List = append(r.List, r.Places.Locate(list)...)
	if list.HasErrors() {
		return nil
	}
	return x
}
