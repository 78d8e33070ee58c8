package notation

func (w *printer) readings(s *Readings) {
	w.words("readings ", s.Name.Ident, " of ")
	w.readingsAxis(s.X)
	w.WriteString(", ")
	w.readingsAxis(s.Y)
	w.WriteString(":")
	for i, x := range s.Xs {
		if i > 0 {
			w.WriteByte(',')
		}
		w.words(" ", x, ": ", s.Ys[i])
	}
}

func (w *printer) readingsAxis(a ReadingsAxis) {
	w.WriteString(a.Name.Ident)
	if a.Unit != nil {
		w.words(" in ", a.Unit.Text)
	}
}

func (w *printer) line(s *Line) {
	w.words("line ", s.Name.Ident, " through ", s.Through.Ident)
	if s.Origin {
		w.WriteString(" and origin")
	}
	for i, x := range s.Without {
		w.words([]string{" without ", ", "}[min(i, 1)], x)
	}
}

func (w *printer) plotLine(s *PlotLine) {
	w.WriteString("plot ")
	if s.Residuals {
		w.WriteString("residuals of ")
	}
	w.WriteString(s.Of.Ident)
}
