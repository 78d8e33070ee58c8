package storetest

import (
	"database/sql"
	"reflect"
	"strings"
	"testing"
	"time"

	"shaftbook/exercises/store"
	"shaftbook/exercises/store/contract"
	"shaftbook/exercises/store/sqlstore"
)

// beforeMove is the schema before the keys of answers were changed.
const beforeMove = 7

// oldAttempt is a row of that schema. The checksum was made by the program of then.
const oldAttempt = `INSERT INTO attempts (learner, submission, lesson, exercise, part, series, attempt_no, answer, reading, verdict,
	slip, message, points, free, variant, program, at_us, checksum)
VALUES ('LEARNER', 'ID', 'LESSON', 'exercise-1', 'θ', 0, NUMBER, '0,971 °', '0.971°', 'slip', 'radius-for-diameter',
	'J grows with d⁴; was d or r put in?', 0.5, 0, '{"d_0":"36 mm", "T":"420 N·m"}', 'test', 1795604400123456, 'CHECKSUM')`

var oldAttempts = []struct{ learner, id, lesson, number, checksum string }{
	{"student-01", "s1", "the-quill", "1", "deb49da7cb3bfa7da10881708091829d"},
	{"student-02", "s1", "the-quill", "1", "da0567d9dcbf5a0a1757b35261a9bf36"},
	{"student-01", "s2", "the-quill", "2", ""},                                     // kept before there were checksums
	{"student-01", "s3", "the-lay-shaft", "1", "deb49da7cb3bfa7da10881708091829d"}, // damaged
}

// RunMoved migrates a database with answers that an earlier program kept. db is empty,
// and open opens it as a store.
func RunMoved(t *testing.T, dialect string, db *sql.DB, open func() contract.Store) {
	if err := sqlstore.MakeEarlier(t.Context(), dialect, db, beforeMove); err != nil {
		t.Fatal(err)
	}
	for _, o := range oldAttempts {
		row := strings.NewReplacer("LEARNER", o.learner, "ID", o.id, "LESSON", o.lesson, "NUMBER", o.number, "CHECKSUM", o.checksum).Replace(oldAttempt)
		if _, err := db.ExecContext(t.Context(), row); err != nil {
			t.Fatal(err)
		}
	}
	s := open()
	v, err := s.Verify(t.Context())
	if err != nil || v.Checked != 2 || v.Unchecked != 1 || v.Damaged != 1 {
		t.Errorf("Verify: %+v, %v; want 2 that hold, one without and one damaged, as before", v, err)
	}
	first, second := attempt("s1"), attempt("s2")
	first.Number, second.Number = 1, 2
	first.At, second.At = first.At.UTC().Truncate(time.Microsecond), second.At.UTC().Truncate(time.Microsecond)
	all, err := s.Attempts(t.Context(), first.Learner, first.Lesson, first.Exercise)
	if err != nil || !reflect.DeepEqual(all, []store.Attempt{first, second}) {
		t.Errorf("Attempts = %+v, %v", all, err)
	}
	if kept, repeat, err := s.Submit(t.Context(), attempt("s1"), 0); err != nil || !repeat || !reflect.DeepEqual(kept, first) {
		t.Errorf("an answer of before, sent again: %+v, repeat %v, %v", kept, repeat, err)
	}
	if kept := submit(t, s, attempt("s4"), 3); kept.Number != 3 {
		t.Errorf("the next answer has number %d", kept.Number)
	}
	for what, row := range map[string]string{
		"two answers with one number":     "UPDATE attempts SET attempt_no = 1 WHERE submission = 's4'",
		"two answers with one identifier": "UPDATE attempts SET submission = 's1' WHERE submission = 's4'",
	} {
		if _, err := db.ExecContext(t.Context(), row); err == nil {
			t.Errorf("%s at one exercise are kept", what)
		}
	}
}
