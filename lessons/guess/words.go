package guess

import (
	"fmt"
	"strings"
)

// TruthInWords says what is right in a sentence, Markdown within one paragraph.
func (g *Guess) TruthInWords(t Truth) string {
	switch g.Kind {
	case Pick:
		return fmt.Sprintf("%s, %s.", Letter(t.Right), strings.TrimSuffix(g.Options[t.Right].Text, "."))
	case Order:
		return g.orderInWords(t, t.Order) + "."
	case Number:
		return "The lesson gives " + t.Text + "."
	}
	return "The curve is not shown yet."
}

func (g *Guess) orderInWords(t Truth, order []int) string {
	var list []string
	for _, i := range order {
		list = append(list, fmt.Sprintf("%s (%s)", g.Items[i].Text, t.Values[i]))
	}
	return strings.Join(list, ", then ")
}
