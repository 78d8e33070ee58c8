package live

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
)

// Messages of the page; see web/PROTOCOL.md.
type (
	openMessage struct {
		Type     string             `json:"type"`
		Revision revisionNumber     `json:"revision"`
		Lesson   string             `json:"lesson"`
		Edits    map[string]string  `json:"edits"`
		Varied   map[string]float64 `json:"varied"`
		All      bool               `json:"all"`
	}
	editMessage struct {
		Type     string         `json:"type"`
		Revision revisionNumber `json:"revision"`
		Cell     string         `json:"cell"`
		Text     string         `json:"text"`
	}
	varyMessage struct {
		Type     string         `json:"type"`
		Revision revisionNumber `json:"revision"`
		Name     string         `json:"name"`
		Value    float64        `json:"value"`
	}
	hereMessage struct {
		Type     string         `json:"type"`
		Revision revisionNumber `json:"revision"`
		Place    string         `json:"place"`
	}
	bareMessage struct { // restore and stop
		Type     string         `json:"type"`
		Revision revisionNumber `json:"revision"`
	}
)

// Messages of the server.
type (
	openedMessage struct {
		Type     string      `json:"type"`
		Revision int64       `json:"revision"`
		Lesson   string      `json:"lesson"`
		Version  string      `json:"version,omitempty"`
		Limits   limitsField `json:"limits"`
	}
	limitsField struct {
		Text int `json:"text"`
	}
	cellMessage struct {
		Type     string `json:"type"`
		Revision int64  `json:"revision"`
		Cell     string `json:"cell"`
		Rows     int    `json:"rows"`
	}
	rowMessage struct { // after its type and revision, which an outbox writes
		Cell   string `json:"cell"`
		Index  int    `json:"index"`
		HTML   string `json:"html"`
		Spoken string `json:"spoken"`
		Failed bool   `json:"failed"`
		Marks  []mark `json:"marks"`
	}
	mark struct {
		From int    `json:"from"`
		To   int    `json:"to"`
		Kind string `json:"kind"`
	}
	progressMessage struct {
		Type     string  `json:"type"`
		Revision int64   `json:"revision"`
		Fraction float64 `json:"fraction"`
		What     string  `json:"what"`
	}
	doneMessage struct {
		Type     string `json:"type"`
		Revision int64  `json:"revision"`
		Stopped  bool   `json:"stopped"`

		Left []leftRow `json:"left,omitempty"`
	}
	leftRow struct { // of which the page shows what was before
		Cell  string `json:"cell"`
		Index int    `json:"index"`
	}
	changedMessage struct {
		Type     string `json:"type"`
		Revision int64  `json:"revision"`
		Version  string `json:"version"`
	}
	problemMessage struct {
		Type     string  `json:"type"`
		Revision int64   `json:"revision"`
		Problem  Problem `json:"problem"`
	}
)

// read decodes one frame into the struct of its type. It returns a *Problem
// for everything that this version of the protocol does not know.
// revision is that of the message, also with an error where it can be read, else 0.
func read(frame []byte) (message any, revision int64, err error) {
	if kind := typeInFront(frame); emptyOf(kind) != nil {
		message := emptyOf(kind)
		if err := decode(frame, message); err == nil {
			if is, revision := headOf(message); is == kind {
				return message, revision, nil
			}
		}
	}
	var head bareMessage
	if err := json.Unmarshal(frame, &head); err != nil {
		return nil, 0, unreadable(err)
	}
	revision = int64(head.Revision)
	if message = emptyOf(head.Type); message == nil {
		return nil, revision, problem("unknown-type", 400, "Unknown message",
			fmt.Sprintf("version 4 of the protocol has no message of type %.40q", head.Type))
	}
	if err := decode(frame, message); err != nil {
		return nil, revision, unreadable(err)
	}
	_, revision = headOf(message)
	return message, revision, nil
}

// A revisionNumber is the revision of a message of the page.
type revisionNumber int64

// mostRevision is the greatest revision: beyond it a page of JavaScript cannot tell
// one number from the next.
const mostRevision = 1<<53 - 1

// UnmarshalJSON implements json.Unmarshaler. Numbers count by their value, so that
// 1e3 is 1000.
func (r *revisionNumber) UnmarshalJSON(b []byte) error {
	if n, err := strconv.ParseInt(string(b), 10, 64); err == nil && n <= mostRevision && n >= -mostRevision {
		*r = revisionNumber(n)
		return nil
	}
	x, err := strconv.ParseFloat(string(b), 64)
	if err != nil || x != math.Trunc(x) || math.Abs(x) > mostRevision {
		return fmt.Errorf("the revision %.40s is not a whole number up to 2⁵³ − 1", b)
	}
	*r = revisionNumber(x)
	return nil
}

// typeInFront returns the type of a frame that begins with it, as pages write it;
// otherwise something that is no type.
func typeInFront(frame []byte) string {
	rest, ok := bytes.CutPrefix(frame, []byte(`{"type":"`))
	end := bytes.IndexByte(rest[:min(len(rest), 16)], '"')
	if !ok || end < 0 {
		return ""
	}
	return string(rest[:end])
}

// emptyOf returns the struct for messages of a type, nil if there is none.
func emptyOf(kind string) any {
	switch kind {
	case "open":
		return &openMessage{}
	case "edit":
		return &editMessage{}
	case "vary":
		return &varyMessage{}
	case "judge":
		return &judgeMessage{}
	case "here":
		return &hereMessage{}
	case "restore", "stop":
		return &bareMessage{}
	}
	return nil
}

// headOf returns what every message has.
func headOf(message any) (kind string, revision int64) {
	switch m := message.(type) {
	case *openMessage:
		return m.Type, int64(m.Revision)
	case *editMessage:
		return m.Type, int64(m.Revision)
	case *varyMessage:
		return m.Type, int64(m.Revision)
	case *judgeMessage:
		return m.Type, int64(m.Revision)
	case *hereMessage:
		return m.Type, int64(m.Revision)
	case *bareMessage:
		return m.Type, int64(m.Revision)
	}
	return "", 0
}

// decode reads a frame that holds one message with no fields but those of its struct.
func decode(frame []byte, message any) error {
	strict := json.NewDecoder(bytes.NewReader(frame))
	strict.DisallowUnknownFields()
	if err := strict.Decode(message); err != nil {
		return err
	}
	if _, err := strict.Token(); !errors.Is(err, io.EOF) {
		return errors.New("there is more after the message")
	}
	return nil
}

func unreadable(err error) error {
	return problem("unreadable", 400, "This message cannot be read", err.Error())
}
