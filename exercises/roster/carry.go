package roster

import (
	"bytes"
	"compress/gzip"
	"encoding/base64"
	"encoding/json"
	"errors"
	"io"
)

var errCarried = errors.New("roster: what was carried is not a roster")

// Carry writes a roster as a text that a form can carry from the page that
// shows a plan to the one that does it. The text of lines stays behind.
func (r *Roster) Carry() (string, error) {
	c := Roster{Partial: r.Partial, Lines: make([]Line, len(r.Lines)), Bad: make([]Bad, len(r.Bad))}
	for i, l := range r.Lines {
		l.Text = ""
		c.Lines[i] = l
	}
	for i, b := range r.Bad {
		c.Bad[i] = Bad{File: b.File, Number: b.Number}
	}
	var out bytes.Buffer
	z := gzip.NewWriter(&out)
	if err := errors.Join(json.NewEncoder(z).Encode(c), z.Close()); err != nil {
		return "", err
	}
	return base64.RawURLEncoding.EncodeToString(out.Bytes()), nil
}

// Carried reads what Carry wrote. It trusts nothing in it.
func Carried(text string) (*Roster, error) {
	packed, err := base64.RawURLEncoding.DecodeString(text)
	if err != nil {
		return nil, errCarried
	}
	z, err := gzip.NewReader(bytes.NewReader(packed))
	if err != nil {
		return nil, errCarried
	}
	var r Roster
	if err := json.NewDecoder(io.LimitReader(z, 2*MaxBytes)).Decode(&r); err != nil || len(r.Lines) > 2*MaxLines {
		return nil, errCarried
	}
	for _, l := range r.Lines {
		if _, why := Check(l); why != "" || l.Name != clean(l.Name) {
			return nil, errCarried
		}
	}
	r.onceEach()
	return &r, nil
}
