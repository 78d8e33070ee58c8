package storetest

import (
	"database/sql"
	"testing"

	"shaftbook/exercises/store/contract"
)

var verifyCases = []ClassCase{
	{"everything kept has its checksum", "damage of the disk must be found before the marks are given out", func(t *testing.T, s contract.Store) {
		student := Work(t, s) // answers, one of them marked again, overrides, extensions, the log
		sound(t, s)
		mustSucceed(t, s.Erase(t.Context(), student, entry("erase")))
		sound(t, s)
	}},
}

// sound wants every row checked and none damaged.
func sound(t *testing.T, s contract.Store) {
	t.Helper()
	v, err := s.Verify(t.Context())
	if err != nil || v.Checked == 0 || v.Unchecked != 0 || v.Damaged != 0 {
		t.Errorf("Verify: %+v, %v", v, err)
	}
}

// tamperings are changes of a store that Work has filled, and how many rows are
// damaged and unchecked by each.
var tamperings = []struct {
	name, sql          string
	damaged, unchecked int
}{
	{"points", "UPDATE attempts SET points = points + 1 WHERE submission = 's2'", 1, 0},
	{"one letter of an answer", "UPDATE attempts SET answer = answer || ' ' WHERE submission = 's2'", 1, 0},
	{"whose answer it is", "UPDATE attempts SET learner = 'student-99' WHERE submission = 's1'", 2, 0}, // and the numbers have a gap
	{"an answer is gone", "DELETE FROM attempts WHERE submission = 's1'", 1, 0},
	{"the earlier marking", "UPDATE remarked SET verdict = 'right'", 1, 0},
	{"a line of the log", "UPDATE entries SET detail = 'Student 01: 2 to 2' WHERE action = 'override'", 1, 0},
	{"kept before there were checksums", "UPDATE attempts SET checksum = ''", 0, 2},
}

// RunTamperings changes stores through db, behind their back, and wants Verify to find
// it. Each is done to a new, empty store.
func RunTamperings(t *testing.T, open func(t *testing.T) (contract.Store, *sql.DB)) {
	for _, c := range tamperings {
		t.Run(c.name, func(t *testing.T) {
			s, db := open(t)
			Work(t, s)
			if _, err := db.ExecContext(t.Context(), c.sql); err != nil {
				t.Fatal(err)
			}
			v, err := s.Verify(t.Context())
			if err != nil || v.Damaged != c.damaged || v.Unchecked != c.unchecked {
				t.Errorf("Verify: %+v, %v", v, err)
			}
			if got := v.Err() != nil; got != (c.damaged > 0) {
				t.Errorf("Err: %v", v.Err())
			}
		})
	}
}
