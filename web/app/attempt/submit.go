package attempt

import (
	"context"
	"encoding/json"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"shaftbook/exercises"
	"shaftbook/exercises/marking"
	"shaftbook/exercises/store"
)

// A Submission is what a form hands in.
type Submission struct {
	Place
	FormToken string // as the page had it
	ID        string // made for this answer, the same when it is sent again
	Part      string
	Text      string
	Reading   string // the choice among the readings that are offered for the text, or empty
}

// Submit marks an answer and keeps it. When it returns without error the
// attempt is durable. A submission that comes again returns the attempt it was
// kept as. The error is a *Refusal, an error of the store, an *Unset, or ctx's.
func (d *Service) Submit(ctx context.Context, s Submission) (store.Attempt, error) {
	a, repeated, err := d.submit(ctx, s)
	if err == nil && d.Acknowledged != nil {
		d.Acknowledged(repeated)
	}
	return a, err
}

func (d *Service) submit(ctx context.Context, s Submission) (a store.Attempt, isRepeat bool, err error) {
	s.Text, s.Reading = strings.TrimSpace(s.Text), strings.TrimSpace(s.Reading)
	if err := d.acceptable(s); err != nil {
		return store.Attempt{}, false, err
	}
	known, err := d.standing(ctx, s.Place)
	if err != nil {
		return store.Attempt{}, false, err
	}
	for _, a := range known.attempts {
		if a.Submission == s.ID {
			a, err := repeated(a, s)
			return a, true, err
		}
	}
	if err := d.mayHandIn(ctx, s.Place, &known); err != nil {
		return store.Attempt{}, false, err
	}
	now := known.now
	wait, err := d.reads.Take(ctx, s.Learner, now)
	if err != nil {
		return store.Attempt{}, false, err
	}
	if wait > 0 {
		return store.Attempt{}, false, tooOften(wait)
	}
	var tries int
	var tells bool
	err = d.on(ctx, s.Place, func(ctx context.Context, v *exercises.Variant) error {
		if !hasNumbers(s.FormToken, v) {
			return errOtherNumbers
		}
		tries = s.tries(v.Exercise)
		a, tells, err = d.mark(ctx, v, s, &known, now)
		return err
	})
	if err == nil && tells {
		tells, wait, err = d.marks.TakeFor(ctx, s.Learner, s.counted(), now)
		if err == nil && wait > 0 {
			return store.Attempt{}, false, tooFast(wait)
		}
	}
	if err == nil {
		a, isRepeat, err = d.store.Submit(ctx, a, tries)
	}
	if err != nil {
		// A turn that is not given back comes again by itself.
		ctx = context.WithoutCancel(ctx)
		_ = d.reads.Back(ctx, s.Learner, now)
		if tells {
			_ = d.marks.BackFor(ctx, s.Learner, s.counted(), now)
		}
		return store.Attempt{}, false, err
	}
	return a, isRepeat, nil
}

// counted is for what an answer is counted: sent again after a server ended in the middle
// of it, it is one answer.
func (s *Submission) counted() string { return s.ID + " " + s.Text + " " + s.Reading }

// acceptable refuses what cannot have come from a page made for this learner.
func (d *Service) acceptable(s Submission) error {
	switch {
	case s.Learner == "" || learnerIn(s.FormToken) != d.FormToken(s.Learner):
		return errStranger
	case !isID(s.ID):
		return errNoName
	case max(utf8.RuneCountInString(s.Text), utf8.RuneCountInString(s.Reading)) > marking.MaxAnswer:
		return errTooLong
	}
	return nil
}

func isID(s string) bool {
	return len(s) >= 16 && len(s) <= 64 && !strings.ContainsFunc(s, func(c rune) bool {
		return (c < '0' || c > '9') && (c < 'a' || c > 'z') && (c < 'A' || c > 'Z') && c != '-'
	})
}

func repeated(a store.Attempt, s Submission) (store.Attempt, error) {
	if a.Place != s.at(a.Part) || a.Part != s.Part || !s.is(a) {
		return store.Attempt{}, store.ErrReused
	}
	return a, nil
}

// is reports whether an attempt has what is handed in.
func (s *Submission) is(a store.Attempt) bool {
	if s.Reading == "" {
		return a.Answer == s.Text
	}
	return a.Reading == s.Reading && a.Answer == s.Text
}

// isOffered refuses a reading that is not one of those offered for what was typed:
// the text was changed after it was asked about, or the form is forged.
func isOffered(ctx context.Context, v *exercises.Variant, part string, s *Submission) error {
	if s.Reading == "" {
		return nil
	}
	r, err := v.Read(ctx, part, s.Text)
	if err != nil {
		return err
	}
	if r.OK && r.Text == s.Reading || slices.ContainsFunc(r.Choices, func(c marking.Choice) bool { return c.Text == s.Reading }) {
		return nil
	}
	return errNotOffered
}

// mark judges an answer that may be handed in now. tells reports whether the verdict
// depends on what is right: an answer that is only read or asked about tells nothing.
func (d *Service) mark(ctx context.Context, v *exercises.Variant, s Submission, known *standing, now time.Time) (a store.Attempt, tells bool, err error) {
	ask, err := v.Part(s.Part)
	if err != nil {
		return store.Attempt{}, false, errNoName
	}
	switch st := known.part(s.Place, v.Exercise, ask.Name); {
	case st.right:
		return store.Attempt{}, false, errDone
	case st.done():
		return store.Attempt{}, false, store.ErrNoTries
	}
	if err := isOffered(ctx, v, ask.Name, &s); err != nil {
		return store.Attempt{}, false, err
	}
	verdict, err := judge(ctx, v, ask.Name, s.Text, s.Reading)
	if err != nil {
		return store.Attempt{}, false, err
	}
	free := notAgain(ctx, v, ask.Name, &verdict, s.Text, known.at(s.Place, ask.Name))
	numbers, err := json.Marshal(numbersOf(v))
	if err != nil {
		return store.Attempt{}, false, err
	}
	return store.Attempt{
		Submission: s.ID, Place: s.at(ask.Name), Answer: s.Text, Reading: verdict.Text,
		Verdict: string(verdict.Kind), Slip: strings.Join(verdict.Slips, " "), Message: verdict.Message,
		Points: verdict.Points, Free: free,
		Variant: numbers, Program: d.program, At: now,
	}, verdict.Kind.IsTry() || verdict.Compared, nil
}

// numbers is a variant as it is kept with an attempt.
type numbers struct {
	Structure string            `json:"structure,omitempty"`
	Given     []exercises.Value `json:"given"`
}

func numbersOf(v *exercises.Variant) numbers { return numbers{v.Structure.Name, v.Given} }

// Numbers reads the numbers that are kept with an attempt: the name of the way
// in which the exercise was set, which may be empty, and what was given. Of what
// it cannot read it knows nothing.
func Numbers(kept json.RawMessage) (way string, given []exercises.Value) {
	var n numbers
	if json.Unmarshal(kept, &n) != nil {
		return "", nil
	}
	return n.Structure, n.Given
}

// Predict keeps a prediction. The error is as for Submit; a guess that cannot be
// read is a *Refusal.
func (d *Service) Predict(ctx context.Context, s Submission) error {
	if err := d.acceptable(s); err != nil {
		return err
	}
	known, err := d.standing(ctx, s.Place)
	if err != nil {
		return err
	}
	if known.guess(s.Place, s.Part) != nil {
		return nil // the first one stands, and the page shows it
	}
	if err := d.mayHandIn(ctx, s.Place, &known); err != nil {
		return err
	}
	var judged exercises.JudgedPrediction
	err = d.on(ctx, s.Place, func(ctx context.Context, v *exercises.Variant) error {
		if !hasGuess(v, s.Part) {
			return errNoName
		}
		var ok bool
		judged, ok, err = v.Predict(ctx, s.Part, s.Text)
		if err == nil && !ok {
			return &Refusal{Reason: Unreadable, Words: judged.Message}
		}
		return err
	})
	if err != nil {
		return err
	}
	kind := store.PredictionKind(judged.Guess)
	if kind != store.More && kind != store.Less && kind != store.Same {
		kind = store.Bracket
	}
	_, _, err = d.store.AddPrediction(ctx, store.Prediction{
		Submission: s.ID, Place: s.at(s.Part), Kind: kind, Text: s.Text, Low: judged.Low, High: judged.High, At: d.now(),
	})
	if err == store.ErrPredicted {
		return nil
	}
	return err
}

func hasGuess(v *exercises.Variant, name string) bool {
	for _, q := range v.Structure.Predictions {
		if q.Name == name {
			return true
		}
	}
	return false
}

// Reveal keeps that a hint was asked for, from when on it is shown.
func (d *Service) Reveal(ctx context.Context, s Submission, level int) error {
	if s.Learner == "" || learnerIn(s.FormToken) != d.FormToken(s.Learner) {
		return errStranger
	}
	known, err := d.standing(ctx, s.Place)
	if err != nil {
		return err
	}
	if err := d.mayHandIn(ctx, s.Place, &known); err != nil {
		return err
	}
	var name string
	if err := d.on(ctx, s.Place, func(ctx context.Context, v *exercises.Variant) error {
		a, err := v.Part(s.Part)
		if err != nil || level < 1 || level > min(len(a.Hints), known.hintsAt(s.Place, a.Name)+1) {
			return errNoName
		}
		name = a.Name
		return nil
	}); err != nil {
		return err
	}
	return d.store.Reveal(ctx, store.Hint{Place: s.at(name), Level: level, At: d.now()})
}
