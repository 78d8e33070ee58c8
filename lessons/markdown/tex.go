package markdown

import (
	"strings"

	"shaftbook/kernel/typeset/box"
	"shaftbook/kernel/typeset/tex"
)

// typesetTeX returns TeX as MathML Core without style attributes, with the TeX
// as an annotation. The error is a *tex.Fault.
func typesetTeX(source string, block bool) (string, error) {
	b, err := tex.Read(source)
	if err != nil {
		return "", err
	}
	return box.Math{Block: block, TeX: strings.TrimSpace(source)}.Write(b), nil
}
