package reader

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"net/http"
	"slices"
	"strconv"
	"time"

	"shaftbook/exercises/store"
	"shaftbook/lessons"
	"shaftbook/web/request"
)

const (
	savedTextLimit = 64 << 10 // bytes of a cell's text, as over the live connection
	savedNameLimit = 64       // bytes of a driven name
	saveLimit      = 200      // changes in one save
)

// savedEdits is what a reader has changed in a lesson, as the server keeps it;
// keep.js reads it.
type savedEdits struct {
	Revision int64              `json:"revision"`
	Edits    map[string]string  `json:"edits"`
	Varied   map[string]float64 `json:"varied"`
	// Moved names the cells whose text in the lesson has changed since the
	// reader's was saved.
	Moved []string `json:"moved,omitempty"`
}

// saveRequest is what a page asks to keep. A null lets go of the reader's text or
// value.
type saveRequest struct {
	Base   int64               `json:"base"` // the revision that the page has seen
	Edits  map[string]*string  `json:"edits"`
	Varied map[string]*float64 `json:"varied"`
}

// saveAnswer is the answer to it. Replaced holds what another window had saved, unseen by
// the page that has now replaced it.
type saveAnswer struct {
	Revision int64    `json:"revision"`
	Replaced []string `json:"replaced,omitempty"`
}

func (h *Handlers) savedEditsRoutes() []request.Route {
	if h.Attempts == nil {
		return nil
	}
	return []request.Route{{Pattern: "GET /lesson/{slug}/kept", Handle: h.showSavedEdits}, {Pattern: "POST /lesson/{slug}/kept", Handle: h.saveEdits}}
}

func (h *Handlers) showSavedEdits(w http.ResponseWriter, r *http.Request) {
	p, err := h.lessonPage(r)
	if err != nil {
		h.FailStore(w, r, err)
		return
	}
	out := savedEdits{Edits: map[string]string{}, Varied: map[string]float64{}}
	if name := learnerFrom(r); name != "" {
		working, err := h.Attempts.Store().Working(r.Context(), name, p.lesson.Slug)
		if err != nil {
			h.FailStore(w, r, err)
			return
		}
		out.fill(working, p.lesson)
	}
	request.SendJSON(w, out)
}

func (k *savedEdits) fill(w store.Working, l *lessons.Lesson) {
	k.Revision = w.Revision
	for _, e := range w.Edits {
		if e.Kind == store.VariedValue {
			if v, err := strconv.ParseFloat(e.Content, 64); err == nil {
				k.Varied[e.Key] = v
			}
			continue
		}
		cell, ok := l.Cell(e.Key)
		if !ok {
			continue // kept, in case the cell comes back
		}
		k.Edits[e.Key] = e.Content
		if e.Basis != cellVersion(cell) {
			k.Moved = append(k.Moved, e.Key)
		}
	}
}

// cellVersion names what the lesson says in a cell.
func cellVersion(c lessons.Cell) string {
	sum := sha256.Sum256([]byte(c.Text.Content))
	return hex.EncodeToString(sum[:8])
}

// saveEdits keeps changes. The latest to come wins.
func (h *Handlers) saveEdits(w http.ResponseWriter, r *http.Request) {
	p, err := h.lessonPage(r)
	if err != nil {
		h.FailStore(w, r, err)
		return
	}
	var k saveRequest
	decoder := json.NewDecoder(r.Body)
	decoder.DisallowUnknownFields()
	if err := decoder.Decode(&k); err != nil {
		h.Fail(w, r, request.Unreadable(err))
		return
	}
	changes, err := k.changes(p.lesson)
	if err != nil {
		h.Fail(w, r, err)
		return
	}
	name := h.namedLearner(w, r)
	if !h.Attempts.MaySave(name) {
		h.Fail(w, r, errTooFast)
		return
	}
	done, err := h.Attempts.Store().Save(r.Context(), name, p.lesson.Slug, k.Base, changes, time.Now())
	if err != nil {
		h.FailStore(w, r, err)
		return
	}
	out := saveAnswer{Revision: done.Revision}
	for _, e := range done.Overwritten {
		out.Replaced = append(out.Replaced, e.Key)
	}
	request.SendJSON(w, out)
}

var errTooFast = request.NewRefusal(http.StatusTooManyRequests, "too-fast", "Too many saves", "The page will save again by itself in a moment.")

// changes turns what a page sends into changes of the store.
func (k *saveRequest) changes(l *lessons.Lesson) ([]store.Edit, error) {
	if len(k.Edits)+len(k.Varied) > saveLimit {
		return nil, request.TooLong(request.BodyLimit)
	}
	var list []store.Edit
	for id, text := range k.Edits {
		cell, ok := l.Cell(id)
		if !ok {
			return nil, request.ErrNotFound
		}
		e := store.Edit{Kind: store.CellText, Key: id, Original: text == nil}
		if text != nil {
			if len(*text) > savedTextLimit {
				return nil, request.TooLong(request.BodyLimit)
			}
			e.Content, e.Basis = *text, cellVersion(cell)
		}
		list = append(list, e)
	}
	for name, value := range k.Varied {
		if len(name) > savedNameLimit {
			return nil, request.TooLong(request.BodyLimit)
		}
		e := store.Edit{Kind: store.VariedValue, Key: name, Original: value == nil}
		if value != nil {
			e.Content = strconv.FormatFloat(*value, 'g', -1, 64)
		}
		list = append(list, e)
	}
	// One order for all, so that what was replaced is told in it.
	slices.SortFunc(list, func(a, b store.Edit) int {
		return cmp.Or(cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.Key, b.Key))
	})
	return list, nil
}
