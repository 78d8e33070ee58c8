package store

import "time"

// A Level is how much of something a key has had, such as failed tries to sign in.
// What it means is the business of whoever changes it. The zero Level is that of a
// key that is not known.
type Level struct {
	Much  float64
	At    time.Time // of the last change
	Until time.Time // nothing is let through before; zero if anything is
	Had   string    // for what it was raised last, so that the same does not raise it again; as whoever changes it writes it
	Gone  time.Time // from then on it is as good as the zero Level, and is forgotten
}
