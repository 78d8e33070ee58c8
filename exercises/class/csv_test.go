package class

import "testing"

func TestCSVCellKeepsFormulasOut(t *testing.T) {
	for _, c := range []struct{ name, in, want string }{
		{"nothing", "", ""},
		{"a name", "Student 01", "Student 01"},
		{"a formula", "=1+1", "'=1+1"},
		{"a call after plus", "+cmd|' /C calc'!A0", "'+cmd|' /C calc'!A0"},
		{"a call after minus", "-2+3", "'-2+3"},
		{"at", "@SUM(A1)", "'@SUM(A1)"},
		{"tab", "\t=1", "'\t'=1"},
		{"carriage return", "\r=1", "'\r'=1"},
		{"a tab and a name", "\tStudent", "'\tStudent"},
		{"full-width signs", "＝1+1", "'＝1+1"},
		{"full-width plus", "＋1", "'＋1"},
		{"full-width minus", "－1", "'－1"},
		{"full-width at", "＠SUM(A1)", "'＠SUM(A1)"},
		{"behind a semicolon", "Student;=1+1", "Student;'=1+1"},
		{"behind a tab and a line end", "a\t@b\n-c", "a\t'@b\n'-c"},
		{"behind a semicolon and a quote", "a; \"=1\"", "a;' \"=1\""},
		{"numbers behind semicolons", "1;-2;+3", "1;-2;+3"},
		{"behind spaces", "  =1", "'  =1"},
		{"a negative number", "-1.5", "-1.5"},
		{"a positive number", "+3e2", "+3e2"},
		{"a sign inside", "a=b", "a=b"},
		{"right to left", "שלום", "שלום"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := CSVCell(c.in); got != c.want {
				t.Errorf("CSVCell(%q) = %q, want %q", c.in, got, c.want)
			}
			if got := CSVText(c.want); got != c.in {
				t.Errorf("CSVText(%q) = %q, want %q", c.want, got, c.in)
			}
		})
	}
}

func TestCSVTextKeepsOtherApostrophes(t *testing.T) {
	for _, s := range []string{"'", "'s Graveland", "''=1", "d'Arc", "'-1.5"} {
		if got := CSVText(s); got != s {
			t.Errorf("CSVText(%q) = %q", s, got)
		}
	}
}
