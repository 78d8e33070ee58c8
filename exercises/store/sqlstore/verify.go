package sqlstore

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/binary"
	"encoding/hex"
	"hash"
	"math"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store"
)

const (
	summedAttempts = `SELECT checksum, ` + attemptColumns + ` FROM attempts ORDER BY id`
	summedRegraded = `SELECT checksum, ` + attemptColumns + ` FROM remarked ORDER BY id`
	summedEntries  = `SELECT checksum, id, class, made_by, at_us, action, about, assignment, exercise, detail FROM entries ORDER BY id`

	// The number of an attempt is given by the database and is not in its checksum.
	gaps = `SELECT learner, lesson, exercise, part, series FROM attempts
	GROUP BY learner, lesson, exercise, part, series HAVING COUNT(*) <> MAX(attempt_no) OR MIN(attempt_no) <> 1`
)

// Verify implements contract.Verifier.
func (s *Store) Verify(ctx context.Context) (store.Verification, error) {
	return verify(ctx, s.query)
}

// VerifyDB is Store.Verify for a database that is not opened as a store, whose
// schema must be that of this program.
func VerifyDB(ctx context.Context, db *sql.DB) (store.Verification, error) {
	return verify(ctx, func(ctx context.Context, scan func(*sql.Rows) error, text string, args ...any) error {
		rows, err := db.QueryContext(ctx, text, args...)
		return each(rows, err, scan)
	})
}

func verify(ctx context.Context, q querier) (store.Verification, error) {
	var v store.Verification
	row := func(kept, computed string, damaged func()) {
		switch kept {
		case "":
			v.Unchecked++
		case computed:
			v.Checked++
		default:
			damaged()
		}
	}
	attemptRow := func(kind string) func(*sql.Rows) error {
		return func(rows *sql.Rows) error {
			var kept string
			a, err := scanAttempt(rows, &kept)
			if err == nil {
				row(kept, attemptSum(a), func() {
					v.Add("%s %d of %s at %s in %s (submission %s)", kind, a.Number, a.Learner, a.Exercise, a.Lesson, a.Submission)
				})
			}
			return err
		}
	}
	if err := q(ctx, attemptRow("answer"), summedAttempts); err != nil {
		return v, err
	}
	if err := q(ctx, attemptRow("the earlier marking of answer"), summedRegraded); err != nil {
		return v, err
	}
	err := q(ctx, func(rows *sql.Rows) error {
		var kept string
		e, err := scanEntry(rows, &kept)
		if err == nil {
			row(kept, entrySum(&e), func() { v.Add("line %d of the log of class %s", e.ID, e.Class) })
		}
		return err
	}, summedEntries)
	if err != nil {
		return v, err
	}
	err = q(ctx, func(rows *sql.Rows) error {
		var p store.Place
		err := rows.Scan(&p.Learner, &p.Lesson, &p.Exercise, &p.Part, &p.Series)
		if err == nil {
			v.Add("answers of %s at %s in %s are missing or doubled", p.Learner, p.Exercise, p.Lesson)
		}
		return err
	}, gaps)
	return v, err
}

// A sum is the checksum of a row: 128 bits of SHA-256 over its fields, each with its
// length before it, in hexadecimal. It finds what a disk, a file system or a hand
// changed; it is not a signature, since no secret is in it.
type sum struct{ h hash.Hash }

func newSum(kind string) sum {
	s := sum{sha256.New()}
	s.text(kind)
	return s
}

func (s sum) text(fields ...string) {
	for _, f := range fields {
		s.number(int64(len(f)))
		s.h.Write([]byte(f))
	}
}

func (s sum) number(fields ...int64) {
	for _, f := range fields {
		var b [8]byte
		binary.LittleEndian.PutUint64(b[:], uint64(f))
		s.h.Write(b[:])
	}
}

func (s sum) String() string { return hex.EncodeToString(s.h.Sum(nil)[:16]) }

// attemptSum is the checksum of an attempt, without its number.
func attemptSum(a *store.Attempt) string {
	s := newSum("attempt")
	s.text(a.Learner, a.Submission, a.Lesson, a.Exercise, a.Part, a.Answer, a.Reading, a.Verdict, a.Slip, a.Message,
		string(a.Variant), a.Program)
	s.number(int64(a.Series), int64(math.Float64bits(a.Points)), int64(digit(a.Free)), a.At.UnixMicro())
	return s.String()
}

// entrySum is the checksum of a line of the log, without its number.
func entrySum(e *class.Entry) string {
	s := newSum("entry")
	s.text(e.Class, e.By, e.Action, e.About, e.Assignment, e.Exercise, e.Detail)
	s.number(e.At.UnixMicro())
	return s.String()
}

// changedSum is the checksum of a row that is changed. One that did not hold before
// stays as it is, so that a change does not hide damage.
func changedSum(kept, before, after string) string {
	if kept == before {
		return after
	}
	return kept
}
