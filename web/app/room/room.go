package room

import (
	"context"
	"slices"
	"strings"
	"time"

	"shaftbook/exercises"
	"shaftbook/exercises/class"
	"shaftbook/exercises/store"
	"shaftbook/kernel/lru"
	"shaftbook/lessons"
	"shaftbook/web/app/attempt"
	"shaftbook/web/page"
)

// presentFor is how long someone counts as here after the last sign. A page
// that stays open renews it with every ping.
const presentFor = 90 * time.Second

// A Store is what a room reads; contract.School has it.
type Store interface {
	Members(ctx context.Context, class string) ([]class.Person, []class.Member, error)
	AttemptsIn(ctx context.Context, lesson string) ([]store.Attempt, error)
	PredictionsIn(ctx context.Context, lesson string) ([]store.Prediction, error)
	HintsIn(ctx context.Context, lesson string) ([]store.Hint, error)
	Present(ctx context.Context, lesson string, since time.Time) ([]class.Presence, error)
}

// Answers sets answers against each student’s own right values; *attempt.Service
// does it.
type Answers interface {
	Exercise(cell lessons.Cell) (*exercises.Exercise, error)
	Structure(ctx context.Context, p attempt.Place) (*exercises.Structure, error)
	RelativeAnswer(ctx context.Context, p attempt.Place, part, answer string) (attempt.Relative, bool, error)
	RelativePrediction(ctx context.Context, p attempt.Place, prediction string, low, high float64) (lo, hi float64, ok bool, err error)
	HeldPrediction(ctx context.Context, p attempt.Place, prediction, guess string) (held, known bool, err error)
}

// A View is what one page of a room shows.
type View struct {
	Assignment class.Assignment
	Lesson     *lessons.Lesson // as it was assigned; its slug is the assignment's key
	Sections   []Section       // of the lesson, in its order
	Chosen     string          // the exercise whose answers are shown; empty shows who is where
	HideNames  string          // a key under which names become codes; empty shows names
	Path       func(exercise string) string
}

// A Section is a piece of a lesson under one heading.
type Section struct {
	ID      string // of the heading; empty before the first
	Heading string
	Level   int // 1 for the title, before the first heading
	Line    int // where it begins
}

// A Room reads rooms from one store. It remembers how answers stand to their
// right values and is safe for concurrent use.
type Room struct {
	store   Store
	service Answers

	answers     *lru.Cache[memoKey, answerStand]
	predictions *lru.Cache[memoKey, predictionStand]
}

// New returns a room.
func New(store Store, service Answers) *Room {
	return &Room{
		store: store, service: service,
		answers:     lru.New[memoKey, answerStand](mostKept),
		predictions: lru.New[memoKey, predictionStand](mostKept),
	}
}

// A state is everything that is known of a class in an assignment at one time.
type state struct {
	*View
	now         time.Time
	names       map[string]string // of the students who have not left, by person
	order       []string          // the same, as they are listed
	present     map[string]class.Presence
	attempts    map[string][]store.Attempt // by exercise, of graded numbers
	predictions map[string][]store.Prediction
	hints       map[string][]store.Hint
}

// Pieces returns the pieces of a page, in their order.
func (r *Room) Pieces(ctx context.Context, v *View, now time.Time) ([]page.RoomPiece, error) {
	s, err := r.read(ctx, v, now)
	if err != nil {
		return nil, err
	}
	var made []interface {
		Piece() (page.RoomPiece, error)
	}
	if v.Chosen == "" {
		stalls, stalling, err := r.stalls(ctx, s)
		if err != nil {
			return nil, err
		}
		made = append(made, s.here(stalling), stalls)
	} else if cell, ok := v.Lesson.Cell(v.Chosen); ok {
		parts, err := r.parts(ctx, s, cell)
		if err != nil {
			return nil, err
		}
		for i := range parts {
			made = append(made, &parts[i])
		}
	}
	pieces := make([]page.RoomPiece, len(made))
	for i, m := range made {
		if pieces[i], err = m.Piece(); err != nil {
			return nil, err
		}
	}
	return pieces, nil
}

// Exercises returns the exercises of the assignment with their titles.
func (r *Room) Exercises(v *View) (cells []lessons.Cell, titles []string) {
	for _, cell := range v.Lesson.CellsOf(lessons.Exercise) {
		if !v.Assignment.Counts(cell.ID) {
			continue
		}
		title := cell.Name
		if e, err := r.service.Exercise(cell); err == nil {
			title = e.Title
		}
		cells, titles = append(cells, cell), append(titles, title)
	}
	return cells, titles
}

// read asks the store for the state.
func (r *Room) read(ctx context.Context, v *View, now time.Time) (*state, error) {
	key := v.Assignment.Key()
	people, members, err := r.store.Members(ctx, v.Assignment.Class)
	if err != nil {
		return nil, err
	}
	present, err := r.store.Present(ctx, key, now.Add(-presentFor))
	if err != nil {
		return nil, err
	}
	attempts, err := r.store.AttemptsIn(ctx, key)
	if err != nil {
		return nil, err
	}
	predictions, err := r.store.PredictionsIn(ctx, key)
	if err != nil {
		return nil, err
	}
	hints, err := r.store.HintsIn(ctx, key)
	if err != nil {
		return nil, err
	}
	s := &state{
		View: v, now: now, present: map[string]class.Presence{}, attempts: map[string][]store.Attempt{},
		predictions: map[string][]store.Prediction{}, hints: map[string][]store.Hint{},
	}
	s.enrol(people, members)
	for _, p := range present {
		if s.isStudent(p.Person) {
			s.present[p.Person] = p
		}
	}
	for _, a := range attempts {
		if a.Series == 0 && s.isStudent(a.Learner) {
			s.attempts[a.Exercise] = append(s.attempts[a.Exercise], a)
		}
	}
	for _, p := range predictions {
		if p.Series == 0 && s.isStudent(p.Learner) {
			s.predictions[p.Exercise] = append(s.predictions[p.Exercise], p)
		}
	}
	for _, h := range hints {
		if h.Series == 0 && s.isStudent(h.Learner) {
			s.hints[h.Exercise] = append(s.hints[h.Exercise], h)
		}
	}
	return s, nil
}

// enrol notes the students who have not left. Where names are hidden they are
// listed by their codes, so that the order does not tell who is who.
func (s *state) enrol(people []class.Person, members []class.Member) {
	students := map[string]bool{}
	for _, m := range members {
		students[m.Person] = m.Role == class.Student && !m.Left
	}
	people = slices.DeleteFunc(slices.Clone(people), func(p class.Person) bool { return !students[p.ID] })
	s.names = namesOf(people, s.HideNames)
	for _, p := range people {
		s.order = append(s.order, p.ID)
	}
	if s.HideNames != "" {
		slices.SortFunc(s.order, func(a, b string) int { return strings.Compare(s.names[a], s.names[b]) })
	}
}

func (s *state) isStudent(person string) bool {
	_, ok := s.names[person]
	return ok
}
