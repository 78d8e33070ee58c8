// Package attempt is the life of one answer: it draws a learner's numbers,
// works out how an exercise is for that learner, marks what is handed in and
// acknowledges it only when the store has it. It does not use HTTP; how an exercise
// looks is the business of package page.
package attempt

import (
	"context"
	"crypto/hmac"
	"crypto/rand"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"time"

	"shaftbook/exercises"
	"shaftbook/exercises/class"
	"shaftbook/exercises/store"
	"shaftbook/exercises/store/contract"
	"shaftbook/kernel/lru"
	"shaftbook/kernel/source"
	"shaftbook/lessons"
	"shaftbook/web/app/throttle"
	"shaftbook/web/turns"
)

const (
	keyName  = "variants" // of the secret from which numbers are drawn
	keyBytes = 32

	perMinute         = 6  // answers of a learner that are marked
	readsPerMinute    = 30 // answers of any kind, most of which may be asked about
	checksPerMinute   = 60 // answers that are only read
	savesPerMinute    = 90 // changes of a lesson
	practicePerMinute = 40 // sets of numbers to practise with, and answers to them
)

// A Store keeps what learners hand in.
type Store interface {
	contract.Attempts
	contract.Predictions
	contract.Hints
	contract.Secrets
	contract.Edits
	contract.Pages
	contract.Shares
	contract.Practice
}

// A Service sets and marks the exercises of all lessons. It is safe for concurrent
// use.
type Service struct {
	store   Store
	key     []byte
	program string // version, kept with each attempt
	now     func() time.Time

	// Acknowledged, if set before the service is used, is told of each answer that is
	// acknowledged, and whether it had been kept before.
	Acknowledged func(repeated bool)

	marks    *throttle.Flow // so that an answer is thought about and not searched for
	reads    *throttle.Flow // answers of any kind, also those that are only asked about
	checks   *throttle.Flow
	saves    *throttle.Flow
	practice *throttle.Flow

	exercises  *lru.Cache[*source.Text, *exercises.Exercise] // by the text of their cell
	variants   *lru.Cache[variantKey, *keptVariant]
	practised  *lru.Cache[variantKey, *keptVariant]         // numbers to practise with, apart from the others, which they must not drive out
	structures *lru.Cache[variantKey, *exercises.Structure] // which never change while the text is the same
}

// NewService returns a service that keeps everything in a store. The key from which
// learners' numbers are drawn is made at the first start and kept there.
func NewService(ctx context.Context, store Store, program string) (*Service, error) {
	return NewServiceAt(ctx, store, program, time.Now)
}

// NewServiceAt is NewDesk with another clock: each answer is marked, kept and paced
// at the time that now says. What a class did on other days is put into a store
// with it, under the rules of every answer.
func NewServiceAt(ctx context.Context, store Store, program string, now func() time.Time) (*Service, error) {
	fresh := make([]byte, keyBytes)
	if _, err := rand.Read(fresh); err != nil {
		return nil, err
	}
	key, err := store.Secret(ctx, keyName, fresh)
	if err != nil {
		return nil, err
	}
	return &Service{
		store: store, key: key, program: program, now: now,
		marks: paced("marks", perMinute, nil), reads: paced("reads", readsPerMinute, nil),
		checks: paced("checks", checksPerMinute, nil), saves: paced("saves", savesPerMinute, nil),
		exercises:  lru.New[*source.Text, *exercises.Exercise](mostExercises),
		variants:   lru.New[variantKey, *keptVariant](mostVariants),
		practised:  lru.New[variantKey, *keptVariant](mostPractised),
		practice:   paced("practice", practicePerMinute, nil),
		structures: lru.New[variantKey, *exercises.Structure](mostStructures),
	}, nil
}

// paced bounds how often one learner can do a thing: so often a minute, and so often
// at once.
func paced(name string, perMinute int, k throttle.Keeper) *throttle.Flow {
	return throttle.NewFlow(name, perMinute, time.Minute/time.Duration(perMinute), k)
}

// MarkTogether counts how often a learner has answers marked in k, for several servers
// on one store. It is called before the service is used.
func (d *Service) MarkTogether(k throttle.Keeper) { d.marks = paced("marks", perMinute, k) }

// Caches returns how the caches of the service are used, by their names.
func (d *Service) Caches() map[string]func() lru.Stats {
	return map[string]func() lru.Stats{"exercises": d.exercises.Stats, "variants": d.variants.Stats, "practised": d.practised.Stats, "structures": d.structures.Stats}
}

// Store returns where the service keeps things.
func (d *Service) Store() Store { return d.store }

// MaySave reports whether a learner may have changes of a lesson kept now: a
// page saves when typing rests, which is far below the limit.
func (d *Service) MaySave(learner string) bool {
	wait, err := d.saves.Take(context.Background(), learner, d.now())
	return err == nil && wait == 0
}

// A Place is where a learner works: at one exercise, in one series. Series 0 is
// graded; the others have new numbers, to practise with.
type Place struct {
	Learner string
	Lesson  *lessons.Lesson
	Cell    lessons.Cell
	Series  int

	// Terms bind series 0 of an exercise that counts in an assignment; nil
	// leaves it free.
	Terms *class.Terms

	// Overrides are the learner's marks in the assignment that were set by hand,
	// the oldest first.
	Overrides []class.Override
}

// at is the place of a part in the store.
func (p Place) at(part string) store.Place {
	return store.Place{Learner: p.Learner, Lesson: p.Lesson.Slug, Exercise: p.Cell.ID, Part: part, Series: p.Series}
}

// variant names the learner's copy of an exercise. The name of an exercise is
// unique in its lesson only, so the lesson belongs to that of the learner.
func (p Place) variant(e *exercises.Exercise) variantKey {
	return variantKey{e, p.Lesson.Slug + " " + p.Learner, p.Series}
}

// FormToken returns the name of a learner's sheet of numbers. A form carries it, so
// that an answer from a page that was made for someone else, or under a cookie
// that is gone, is not marked against other numbers than those it shows.
func (d *Service) FormToken(learner string) string {
	mac := hmac.New(sha256.New, d.key)
	mac.Write([]byte("sheet 1 " + learner))
	return hex.EncodeToString(mac.Sum(nil)[:8])
}

// nextID returns the identifier of the next answer at a place: the same until
// an answer was kept there, so that a form that is sent twice, from whatever
// copy of the page, is recognised.
func (d *Service) nextID(at store.Place, before int) string {
	mac := hmac.New(sha256.New, d.key)
	for _, part := range []string{"answer 1", at.Learner, at.Lesson, at.Exercise, at.Part} {
		fmt.Fprintf(mac, "%d %s", len(part), part)
	}
	fmt.Fprintf(mac, "%d %d", at.Series, before)
	return hex.EncodeToString(mac.Sum(nil)[:16])
}

// exercise returns an exercise that can be set, or what is wrong with it.
func (d *Service) exercise(cell lessons.Cell) (*exercises.Exercise, error) {
	// Of two that were read at the same time the first is kept, so that variants
	// are drawn once.
	return d.exercises.Do(cell.Text, func() (*exercises.Exercise, error) {
		e, list := exercises.Parse(cell.Name, cell.Text)
		if err := list.Err(); err != nil {
			return nil, err
		}
		return e, nil
	})
}

// on calls f with the learner's variant, which no one else uses meanwhile, when the
// turn comes. The context of f gives way to others.
func (d *Service) on(ctx context.Context, p Place, f func(ctx context.Context, v *exercises.Variant) error) error {
	e, err := d.exercise(p.Cell)
	if err != nil {
		return &Unset{err}
	}
	k := p.variant(e)
	return d.variantOf(k).use(ctx, func(ctx context.Context) (*exercises.Variant, error) {
		return e.Variant(ctx, d.key, k.learner, k.series)
	}, f)
}

// use calls f with a variant, drawn first if it is not yet.
func (kept *keptVariant) use(ctx context.Context, draw func(context.Context) (*exercises.Variant, error), f func(context.Context, *exercises.Variant) error) error {
	kept.Lock() // before the turn, so that nobody has a turn who only waits for the lock
	defer kept.Unlock()
	return turns.Do(ctx, turns.Answer, func(ctx context.Context) error {
		if kept.v == nil {
			v, err := draw(ctx)
			if err != nil {
				if ctx.Err() == nil {
					err = &Unset{err}
				}
				return err
			}
			kept.v = v
		}
		defer func() {
			if ctx.Err() != nil {
				kept.v = nil // its working may be left in the middle of something
			}
		}()
		return f(ctx, kept.v)
	})
}

// Unset is the error of an exercise that cannot be set for anyone, which
// shaftbook check would have told its author.
type Unset struct{ Err error }

func (u *Unset) Error() string { return "this exercise cannot be set: " + u.Err.Error() }

// Unwrap returns what is wrong with the exercise.
func (u *Unset) Unwrap() error { return u.Err }
