package live

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
)

// Messages of the page; see web/PROTOCOL.md.
type (
	openMessage struct {
		Type     string             `json:"type"`
		Revision int64              `json:"revision"`
		Lesson   string             `json:"lesson"`
		Edits    map[string]string  `json:"edits"`
		Varied   map[string]float64 `json:"varied"`
		All      bool               `json:"all"`
	}
	editMessage struct {
		Type     string `json:"type"`
		Revision int64  `json:"revision"`
		Cell     string `json:"cell"`
		Text     string `json:"text"`
	}
	varyMessage struct {
		Type     string  `json:"type"`
		Revision int64   `json:"revision"`
		Name     string  `json:"name"`
		Value    float64 `json:"value"`
	}
	hereMessage struct {
		Type     string `json:"type"`
		Revision int64  `json:"revision"`
		Place    string `json:"place"`
	}
	bareMessage struct { // restore and stop
		Type     string `json:"type"`
		Revision int64  `json:"revision"`
	}
)

// Messages of the server.
type (
	openedMessage struct {
		Type     string      `json:"type"`
		Revision int64       `json:"revision"`
		Lesson   string      `json:"lesson"`
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
	}
	problemMessage struct {
		Type     string  `json:"type"`
		Revision int64   `json:"revision"`
		Problem  Problem `json:"problem"`
	}
)

// read decodes one frame into the struct of its type. It returns a *Problem
// for everything that this version of the protocol does not know.
func read(frame []byte) (message any, revision int64, err error) {
	var head struct {
		Type     string `json:"type"`
		Revision int64  `json:"revision"`
	}
	if err := json.Unmarshal(frame, &head); err != nil {
		return nil, 0, unreadable(err)
	}
	switch head.Type {
	case "open":
		message = &openMessage{}
	case "edit":
		message = &editMessage{}
	case "vary":
		message = &varyMessage{}
	case "judge":
		message = &judgeMessage{}
	case "here":
		message = &hereMessage{}
	case "restore", "stop":
		message = &bareMessage{}
	default:
		return nil, 0, problem("unknown-type", 400, "Unknown message",
			fmt.Sprintf("version 4 of the protocol has no message of type %.40q", head.Type))
	}
	strict := json.NewDecoder(bytes.NewReader(frame))
	strict.DisallowUnknownFields()
	if err := strict.Decode(message); err != nil {
		return nil, 0, unreadable(err)
	}
	if _, err := strict.Token(); !errors.Is(err, io.EOF) {
		return nil, 0, unreadable(errors.New("there is more after the message"))
	}
	return message, head.Revision, nil
}

func unreadable(err error) error {
	return problem("unreadable", 400, "This message cannot be read", err.Error())
}
