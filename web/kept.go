package web

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
)

const (
	keptText  = 64 << 10 // bytes of a cell's text, as over the live connection
	keptName  = 64       // bytes of a driven name
	keptAtOne = 200      // changes in one save
)

// kept is what a reader has changed in a lesson, as the server keeps it;
// keep.js reads it.
type kept struct {
	Revision int64              `json:"revision"`
	Edits    map[string]string  `json:"edits"`
	Varied   map[string]float64 `json:"varied"`
	// Moved names the cells whose text in the lesson has changed since the
	// reader's was saved.
	Moved []string `json:"moved,omitempty"`
}

// keeping is what a page asks to keep. A null lets go of the reader's text or
// value.
type keeping struct {
	Base   int64               `json:"base"` // the revision that the page has seen
	Edits  map[string]*string  `json:"edits"`
	Varied map[string]*float64 `json:"varied"`
}

// saved is the answer. Replaced holds what another window had saved, unseen by
// the page that has now replaced it.
type saved struct {
	Revision int64    `json:"revision"`
	Replaced []string `json:"replaced,omitempty"`
}

func (s *Server) keptRoutes() []route {
	if s.Desk == nil {
		return nil
	}
	return []route{{reader, "GET /lesson/{slug}/kept", s.showKept}, {reader, "POST /lesson/{slug}/kept", s.keep}}
}

func (s *Server) showKept(w http.ResponseWriter, r *http.Request) {
	p, err := s.lessonPage(r)
	if err != nil {
		s.failStore(w, r, err)
		return
	}
	out := kept{Edits: map[string]string{}, Varied: map[string]float64{}}
	if name := learner(r); name != "" {
		working, err := s.Desk.Store().Working(r.Context(), name, p.lesson.Slug)
		if err != nil {
			s.failStore(w, r, err)
			return
		}
		out.fill(working, p.lesson)
	}
	sendJSON(w, out)
}

func (k *kept) fill(w store.Working, l *lessons.Lesson) {
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
		if e.Basis != fingerprint(cell) {
			k.Moved = append(k.Moved, e.Key)
		}
	}
}

// fingerprint names what the lesson says in a cell.
func fingerprint(c lessons.Cell) string {
	sum := sha256.Sum256([]byte(c.Text.Content))
	return hex.EncodeToString(sum[:8])
}

// keep keeps changes. The latest to come wins.
func (s *Server) keep(w http.ResponseWriter, r *http.Request) {
	p, err := s.lessonPage(r)
	if err != nil {
		s.failStore(w, r, err)
		return
	}
	var k keeping
	decoder := json.NewDecoder(r.Body)
	decoder.DisallowUnknownFields()
	if err := decoder.Decode(&k); err != nil {
		s.fail(w, r, unreadableBody(err))
		return
	}
	changes, err := k.changes(p.lesson)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	name := s.knownLearner(w, r)
	if !s.Desk.MaySave(name) {
		s.fail(w, r, errTooFast)
		return
	}
	done, err := s.Desk.Store().Save(r.Context(), name, p.lesson.Slug, k.Base, changes, time.Now())
	if err != nil {
		s.failStore(w, r, err)
		return
	}
	out := saved{Revision: done.Revision}
	for _, e := range done.Overwritten {
		out.Replaced = append(out.Replaced, e.Key)
	}
	sendJSON(w, out)
}

var errTooFast = &refusal{http.StatusTooManyRequests, "too-fast", "That is too often", "The page saves again by itself in a moment."}

// changes turns what a page sends into changes of the store.
func (k *keeping) changes(l *lessons.Lesson) ([]store.Edit, error) {
	if len(k.Edits)+len(k.Varied) > keptAtOne {
		return nil, tooLong(bodyLimit)
	}
	var list []store.Edit
	for id, text := range k.Edits {
		cell, ok := l.Cell(id)
		if !ok {
			return nil, errNotFound
		}
		e := store.Edit{Kind: store.CellText, Key: id, Original: text == nil}
		if text != nil {
			if len(*text) > keptText {
				return nil, tooLong(bodyLimit)
			}
			e.Content, e.Basis = *text, fingerprint(cell)
		}
		list = append(list, e)
	}
	for name, value := range k.Varied {
		if len(name) > keptName {
			return nil, tooLong(bodyLimit)
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

// failStore answers a request that the store could not serve.
func (s *Server) failStore(w http.ResponseWriter, r *http.Request, err error) {
	if told := s.refusalOf(w, r, err); told != nil {
		err = told
	}
	s.fail(w, r, err)
}
