package notation

func (w *printer) trials(s *Trials) {
	w.WriteString("trials of ")
	w.columns(s.Columns)
	switch {
	case s.Bracket != nil:
		w.words(" within ", s.Bracket)
	case s.Low != nil:
		w.words(" between ", s.Low, " and ", s.High)
	}
	w.words(" for ", s.Var.Ident)
	for i, x := range s.Tried {
		w.words([]string{" at ", ", "}[min(i, 1)], x)
	}
	for i, g := range s.Guesses {
		w.words([]string{" guessed ", ", "}[min(i, 1)], g.Value, " at ", g.At)
	}
}
