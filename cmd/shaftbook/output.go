package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"strings"
	"unicode"
	"unicode/utf8"
)

// output is the standard output of a command. It makes control characters visible,
// which a lesson of somebody else can hold to take over the reader's terminal, and
// remembers that something could not be written.
type output struct {
	to  io.Writer
	err error // the first
}

func (o *output) Write(text []byte) (int, error) {
	_, err := io.WriteString(o.to, visible(string(text)))
	if err != nil && o.err == nil {
		o.err = fmt.Errorf("the output could not be written: %w", err)
	}
	return len(text), err
}

// visible returns a text with a picture in the place of each character that a
// terminal would act on: ␛ for the escape character. Line ends and tabs stay.
func visible(text string) string {
	if strings.IndexFunc(text, isControl) < 0 && utf8.ValidString(text) {
		return text
	}
	return strings.Map(func(r rune) rune {
		switch {
		case !isControl(r):
			return r // an invalid byte is utf8.RuneError by now
		case r < 0x20:
			return 0x2400 + r // the block Control Pictures of Unicode
		case r == 0x7f:
			return 0x2421
		}
		return utf8.RuneError
	}, text)
}

// isControl reports whether a terminal could act on a character: the controls of
// Unicode (category Cc) and those that turn the direction of the text (Bidi_Control).
func isControl(r rune) bool {
	return r != '\n' && r != '\t' && unicode.In(r, unicode.Cc, unicode.Bidi_Control)
}

// encodeLine writes a value as one line of JSON, with the characters that a
// terminal would act on escaped.
func encodeLine(out io.Writer, value any) error {
	var b bytes.Buffer
	encoder := json.NewEncoder(&b)
	encoder.SetEscapeHTML(false)
	if err := encoder.Encode(value); err != nil {
		return err
	}
	var line strings.Builder
	for _, r := range b.String() {
		if isControl(r) { // below U+10000, all of them
			fmt.Fprintf(&line, "\\u%04x", r)
			continue
		}
		line.WriteRune(r)
	}
	_, err := io.WriteString(out, line.String())
	return err
}
