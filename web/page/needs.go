package page

import (
	"fmt"
	"html/template"
	"strings"
)

// A NeedsMap draws which lesson needs which: the lessons are dots on a line, in their
// order, and an arc joins each to one that it needs. needs lists for each lesson the
// places of those, from 0. It is empty where no lesson needs another.
func NeedsMap(needs [][]int) template.HTML {
	const step, margin, low = 40, 20, 150
	var arcs, dots strings.Builder
	for i, list := range needs {
		x := margin + step*i
		for _, n := range list {
			from := margin + step*n
			fmt.Fprintf(&arcs, `<path d="M%d %dQ%d %d %d %d"/>`, from, low, (from+x)/2, low-2*min(130, 8+12*max(i-n, n-i)), x, low)
		}
		fmt.Fprintf(&dots, `<circle cx="%d" cy="%d" r="5" fill="#c4594a" stroke="none"/><text x="%d" y="%d" fill="currentColor" stroke="none">%d</text>`, x, low, x, low+24, i+1)
	}
	if arcs.Len() == 0 {
		return ""
	}
	width := 2*margin + step*(len(needs)-1)
	return template.HTML(fmt.Sprintf(`<svg class="needs" width="100%%" fill="none" stroke="#808a86" text-anchor="middle" viewBox="0 0 %d 180" role="img" aria-label="Which lesson needs which; each lesson of the list says so in words.">%s<line stroke="#c4594a" x1="0" y1="%d" x2="%d" y2="%d"/>%s</svg>`,
		width, arcs.String(), low, width, low, dots.String()))
}
