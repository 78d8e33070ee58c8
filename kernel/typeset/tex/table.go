package tex

import (
	"strings"

	"shaftbook/kernel/typeset/box"
)

// A tableReader collects the cells of an environment.
type tableReader struct {
	lines [][]box.Box
	line  []box.Box
}

func (t *tableReader) endCell(list *row) {
	t.line = append(t.line, box.Unwrap(list.finished()))
	list.list = nil
}

func (t *tableReader) endLine() {
	t.lines = append(t.lines, t.line)
	t.line = nil
}

// atCellEnd reads & and \\ in an environment.
func (r *reader) atCellEnd(list *row) bool {
	if r.table == nil {
		return false
	}
	switch {
	case r.rest()[0] == '&':
		r.pos++
		r.table.endCell(list)
		return true
	case strings.HasPrefix(r.rest(), `\\`):
		r.pos += 2
		r.table.endCell(list)
		r.table.endLine()
		return true
	}
	return false
}

// environment reads \begin{aligned} … \end{aligned}.
func (r *reader) environment(at int) box.Box {
	name, _, found := strings.Cut(strings.TrimPrefix(r.rest(), "{"), "}")
	columns, ok := environments[name]
	if !found || !strings.HasPrefix(r.rest(), "{") || !ok {
		r.fail(at, 6, "use aligned or cases", "this environment cannot be typeset")
		return nil
	}
	r.pos += len(name) + 2
	outer := r.table
	t := &tableReader{}
	r.table = t
	last := row{r.sequence(`\end{` + name + `}`)}
	r.table = outer
	if r.fault != nil {
		return nil
	}
	if len(last.list) > 0 || len(t.line) > 0 {
		t.line = append(t.line, box.Unwrap(last.list))
		t.endLine()
	}
	return box.Table{Lines: t.lines, Columns: columns}
}
