package page

import (
	"fmt"
	"html"
	"html/template"
	"strings"
)

// NeedsMap draws which lesson needs which: the lessons are dots on a line, in their
// order, each a link, and an arc joins each to one that it needs. A dot is filled when
// the lesson is done, and half filled when it was begun; words below say so. The map is
// empty where no lesson needs another.
func NeedsMap(list []Entry) template.HTML {
	const step, margin, low = 40, 20, 150
	var arcs, dots strings.Builder
	known := false
	for i, l := range list {
		x := margin + step*i
		for _, n := range l.Needs {
			from := margin + step*(n.Number-1)
			fmt.Fprintf(&arcs, `<path d="M%d %dQ%d %d %d %d"/>`, from, low, (from+x)/2, low-2*min(130, 8+12*max(i+1-n.Number, n.Number-i-1)), x, low)
		}
		name, kind, half := fmt.Sprintf("%d %s", l.Number, l.Title), "", ""
		switch {
		case l.IsDone:
			name, kind = name+", done", ` class="done"`
		case l.IsBegun:
			name += ", begun"
			half = fmt.Sprintf(`<path fill="currentColor" d="M%d %da6 6 0 0 0 0 12z"/>`, x, low-6)
		}
		known = known || l.IsDone || l.IsBegun
		name = html.EscapeString(name)
		fmt.Fprintf(&dots, `<a href="/lesson/%s" aria-label="%s"><title>%s</title><path stroke="none" fill="#0000" d="M%d %dh%dv42h-%dz"/><circle%s cx="%d" cy="%d" r="6"/>%s<text x="%d" y="%d" fill="currentColor" stroke="none">%d</text></a>`,
			html.EscapeString(l.Slug), name, name, x-step/2, low-14, step, step, kind, x, low, half, x, low+24, l.Number)
	}
	if arcs.Len() == 0 {
		return ""
	}
	legend := "Each number leads to its lesson. An arc joins two lessons of which the later needs the earlier."
	if known {
		legend += " A filled dot: done; half filled: begun."
	}
	width := 2*margin + step*(len(list)-1)
	return template.HTML(fmt.Sprintf(`<figure class="needs"><svg width="100%%" fill="none" stroke="#808a86" text-anchor="middle" viewBox="0 0 %d 180" role="group" aria-label="Map of the lessons">%s<line x1="0" y1="%d" x2="%d" y2="%d"/><g stroke="currentColor">%s</g></svg><figcaption class="meta">%s</figcaption></figure>`,
		width, arcs.String(), low, width, low, dots.String(), legend))
}
