package reader

import (
	"io"

	"shaftbook/lessons/guess"
	"shaftbook/web/page"
)

func writeGuess(w io.Writer, g *guess.Guess, truth guess.Truth) error {
	if g == nil {
		_, err := io.WriteString(w, "<p class=\"trouble\">This guess cannot be shown. The command shaftbook check says why.</p>\n")
		return err
	}
	body, err := page.Render("ask-guess", page.NewGuess(g, truth))
	if err != nil {
		return err
	}
	_, err = w.Write(body)
	return err
}
