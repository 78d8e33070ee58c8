package sqlite

import (
	"bytes"
	"database/sql"
	"os"
	"strings"
	"testing"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store/storetest"
)

// After a person is erased no column of any table names them, also of a table
// that is made after this test was written, and no byte of the files does. The
// fixture must have had them in every table with a column for people, so that a
// new one cannot be forgotten there either.
func TestEraseLeavesNothing(t *testing.T) {
	path := FileIn(t.TempDir())
	s := mustOpen(t, path)
	student := storetest.Work(t, s)
	db, err := sql.Open(driverName, dsn(path, "", "query_only(1)"))
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	columns := textColumns(t, db)
	for c := range columns {
		if c[1] == "learner" || c[1] == "person" || c[1] == "about" {
			if rows(t, db, c, student) == 0 {
				t.Errorf("the fixture has nothing of the student in %s.%s", c[0], c[1])
			}
		}
	}
	if err := s.Erase(t.Context(), student, class.Entry{Class: "C", Action: "erase", About: student}); err != nil {
		t.Fatal(err)
	}
	for c := range columns {
		if n := rows(t, db, c, student); n > 0 {
			t.Errorf("%d rows of %s.%s name the student", n, c[0], c[1])
		}
	}
	for _, end := range []string{"", "-wal"} {
		content, err := os.ReadFile(path + end)
		if err != nil {
			t.Fatal(err)
		}
		for _, text := range []string{student, "MARKER-OF-STUDENT-ONE", "s01@mill.invalid"} {
			if bytes.Contains(content, []byte(text)) {
				t.Errorf("the file store%s still holds %q", end, text)
			}
		}
	}
}

func textColumns(t *testing.T, db *sql.DB) map[[2]string]bool {
	t.Helper()
	found, err := db.Query(`SELECT m.name, c.name FROM sqlite_schema m, pragma_table_info(m.name) c
		WHERE m.type = 'table' AND c.type = 'TEXT' AND m.name NOT LIKE 'goose%'`)
	if err != nil {
		t.Fatal(err)
	}
	defer found.Close()
	all := make(map[[2]string]bool)
	for found.Next() {
		var c [2]string
		if err := found.Scan(&c[0], &c[1]); err != nil {
			t.Fatal(err)
		}
		all[c] = true
	}
	if err := found.Err(); err != nil || !all[[2]string{"attempts", "learner"}] {
		t.Fatalf("%v, %v", all, err)
	}
	return all
}

func rows(t *testing.T, db *sql.DB, column [2]string, text string) (n int) {
	t.Helper()
	if strings.ContainsAny(column[0]+column[1], `"`) {
		t.Fatal(column)
	}
	err := db.QueryRow(`SELECT count(*) FROM "`+column[0]+`" WHERE instr("`+column[1]+`", $1) > 0`, text).Scan(&n)
	if err != nil {
		t.Fatal(err)
	}
	return n
}
