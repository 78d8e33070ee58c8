package attempt

import (
	"sync"

	"shaftbook/exercises"
)

// mostVariants bounds the variants that are kept drawn. One holds the working
// of an exercise, some tens of kilobytes; a class answers the same few for a
// while.
const mostVariants = 256

// mostPractised bounds the numbers to practise with that are kept drawn. What gives way
// is drawn again when it is asked for.
const mostPractised = 128

// mostExercises bounds the exercises that are kept read. A catalog has some
// dozens; an assigned lesson that is made again brings its texts anew.
const mostExercises = 1024

// mostStructures bounds the structures that are remembered: some hundred classes.
const mostStructures = 1 << 15

type variantKey struct {
	exercise *exercises.Exercise
	learner  string
	series   int
}

// A keptVariant is a variant with the lock under which it is used.
type keptVariant struct {
	sync.Mutex
	v *exercises.Variant // nil until it is drawn
}

// variantOf returns the place of a variant, which may have to be drawn yet.
func (d *Service) variantOf(k variantKey) *keptVariant {
	kept, _ := d.variants.Do(k, func() (*keptVariant, error) { return &keptVariant{}, nil })
	return kept
}
