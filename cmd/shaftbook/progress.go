package main

import (
	"fmt"
	"io"
	"os"
	"strings"
)

// A progress is a line of a terminal that says how far a command is. It writes nothing
// where there is no terminal.
type progress struct {
	to    io.Writer // nil where there is none
	total int
	width int // letters of the line that stands there
}

func newProgress(f *os.File, total int) *progress {
	p := &progress{total: total}
	if info, err := f.Stat(); err == nil && info.Mode()&os.ModeCharDevice != 0 {
		p.to = f
	}
	return p
}

// show writes how many lessons are done, over what stood there before.
func (p *progress) show(done int) {
	if p.to == nil {
		return
	}
	line := fmt.Sprintf("checked %d of %d lessons", done, p.total)
	fmt.Fprintf(p.to, "\r%-*s", p.width, line)
	p.width = len(line)
}

// clear takes the line away.
func (p *progress) clear() {
	if p.to != nil && p.width > 0 {
		fmt.Fprintf(p.to, "\r%s\r", strings.Repeat(" ", p.width))
		p.width = 0
	}
}
