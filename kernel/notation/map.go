package notation

// Map returns e with f applied to each of its direct parts that are expressions,
// in the order in which they stand. Absent parts are skipped. Names that are
// called, bound or have a field are not parts for f, since no expression can take
// their place. Where f returns every part as it is, Map returns e; otherwise a
// copy, so that a tree is never changed.
//
// To rewrite a whole tree, f calls Map for what it does not replace.
func Map(e Expr, f func(Expr) Expr) Expr {
	m := &mapper{f: f}
	switch e := e.(type) {
	case *Call:
		c := *e
		c.Args = m.all(e.Args)
		return m.either(e, &c)
	case *Field:
		c := *e
		c.Args = m.all(e.Args)
		return m.either(e, &c)
	case *Unary:
		x := m.one(e.X)
		if !m.changed {
			return e
		}
		c := *e
		c.X = x
		return &c
	case *Binary:
		x, y := m.one(e.X), m.one(e.Y)
		if !m.changed {
			return e
		}
		c := *e
		c.X, c.Y = x, y
		return &c
	case *Paren:
		x := m.one(e.X)
		if !m.changed {
			return e
		}
		c := *e
		c.X = x
		return &c
	case *Abs:
		x := m.one(e.X)
		if !m.changed {
			return e
		}
		c := *e
		c.X = x
		return &c
	case *Root:
		x := m.one(e.X)
		if !m.changed {
			return e
		}
		c := *e
		c.X = x
		return &c
	case *Between:
		c := *e
		c.Low, c.High = m.one(e.Low), m.one(e.High)
		return m.either(e, &c)
	case *PlusMinus:
		c := *e
		c.Mid, c.Half = m.one(e.Mid), m.one(e.Half)
		return m.either(e, &c)
	case *Bind:
		c := *e
		c.Body, c.From, c.To = m.one(e.Body), m.one(e.From), m.one(e.To)
		return m.either(e, &c)
	case *If:
		c := *e
		c.Cond, c.Then, c.Else = m.one(e.Cond), m.one(e.Then), m.one(e.Else)
		return m.either(e, &c)
	case *Compare:
		c := *e
		c.Xs = m.all(e.Xs)
		return m.either(e, &c)
	case *Logic:
		c := *e
		c.X, c.Y = m.one(e.X), m.one(e.Y)
		return m.either(e, &c)
	}
	return e
}

// mapper applies f and remembers whether it changed anything.
type mapper struct {
	f       func(Expr) Expr
	changed bool
}

func (m *mapper) one(e Expr) Expr {
	if isNil(e) {
		return e
	}
	got := m.f(e)
	m.changed = m.changed || got != e
	return got
}

func (m *mapper) all(list []Expr) []Expr {
	out := make([]Expr, len(list))
	for i, e := range list {
		out[i] = m.one(e)
	}
	return out
}

// either returns the copy if a part changed, and the original otherwise.
func (m *mapper) either(original, mapped Expr) Expr {
	if m.changed {
		return mapped
	}
	return original
}
