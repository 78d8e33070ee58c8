package roster

import (
	"archive/zip"
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "rewrite the golden files")

// Every folder of testdata/read is a roster; golden.json is what is read of it.
// The columns are those of 1EdTech's OneRoster CSV binding (see the package
// comment for what of it is from memory); people and numbers are invented.
func TestReadGolden(t *testing.T) {
	folders, err := filepath.Glob("testdata/read/*")
	if err != nil || len(folders) == 0 {
		t.Fatal("no rosters", err)
	}
	for _, folder := range folders {
		t.Run(filepath.Base(folder), func(t *testing.T) {
			var files []File
			names, _ := filepath.Glob(folder + "/*.csv")
			for _, n := range names {
				data, err := os.ReadFile(n)
				if err != nil {
					t.Fatal(err)
				}
				files = append(files, File{filepath.Base(n), data})
			}
			r, err := Read(files, "")
			if err != nil {
				t.Fatal(err)
			}
			got, err := json.MarshalIndent(r, "", "\t")
			if err != nil {
				t.Fatal(err)
			}
			got = append(got, '\n')
			golden := folder + "/golden.json"
			if *update {
				if err := os.WriteFile(golden, got, 0o644); err != nil {
					t.Fatal(err)
				}
				return
			}
			want, err := os.ReadFile(golden)
			if err != nil {
				t.Fatal(err)
			}
			if !bytes.Equal(got, want) {
				t.Errorf("read\n%s\nwant\n%s", got, want)
			}
		})
	}
}

func TestReadPlain(t *testing.T) {
	var said strings.Builder
	for _, c := range []struct {
		name, text string
		lines      int
		bad        []string // a value in each reason, or empty
		refused    bool     // nothing is read
	}{
		{name: "comma", text: "name,email\nStudent 01,s01@mill.example\n", lines: 1},
		{name: "semicolon", text: "name;email\nStudent 01;s01@mill.example\n", lines: 1},
		{name: "tab", text: "name\temail\nStudent 01\ts01@mill.example\n", lines: 1},
		{name: "a comma in a quoted field", text: "name,id\n\"01, Student\",7\n", lines: 1},
		{name: "byte order mark", text: "\ufeffname,id\nStudent 01,7\n", lines: 1},
		{name: "headers in any case", text: "NAME,E-Mail,Section\nStudent 01,s01@mill.example,A\n", lines: 1},
		{name: "carriage returns", text: "name,id\r\nStudent 01,7\r\n\r\n", lines: 1},
		{name: "no newline at the end", text: "name,id\nStudent 01,7", lines: 1},
		{name: "right to left", text: "name,id\nתלמיד ראשון,7\n", lines: 1},
		{name: "markup is a name", text: "name,id\n<b>Student</b>,7\n", lines: 1},
		{name: "a quote not closed", text: "name,id\n\"Student 01,7\n", bad: []string{""}},
		{name: "a quote inside", text: "name,id\nStud\"ent 01,7\nStudent 02,8\n", lines: 1, bad: []string{""}},
		{name: "a field too many", text: "name,id\nStudent,01,7\nStudent 02,8\n", lines: 1, bad: []string{"3 fields"}},
		{name: "no name", text: "name,id\n,7\n", bad: []string{""}},
		{name: "no identifier", text: "name,id\nStudent 01,\n", bad: []string{""}},
		{name: "no e-mail address", text: "name,email\nStudent 01,mill.example\n", bad: []string{""}},
		{name: "turned around", text: "name,id\nStudent \u202e10,7\n", bad: []string{"U+202E"}},
		{name: "a long name", text: "name,id\n" + strings.Repeat("a", 201) + ",7\n", bad: []string{"201 characters"}},
		{name: "the same identifier twice", text: "name,id\nStudent 01,7\nStudent 02,7\n", lines: 1, bad: []string{"line 2"}},
		{name: "the same address in other capitals", text: "name,email\nStudent 01,a@mill.example\nStudent 02,A@mill.example\n", lines: 1, bad: []string{"line 2"}},
		{name: "a family's address", text: "name,email,id\nStudent 01,a@mill.example,1\nStudent 02,b@mill.example,\nStudent 03,a@mill.example,\n", lines: 2, bad: []string{"line 2"}},
		{name: "nothing", text: "", refused: true},
		{name: "a header alone", text: "name,id\n", refused: true},
		{name: "no header", text: "Student 01,s01@mill.example\n", refused: true},
		{name: "no column to tell apart", text: "name,section\nStudent 01,A\n", refused: true},
		{name: "Windows-1252", text: "name,id\nStudent 01,7\nJos\xe9,8\n", refused: true},
		{name: "UTF-16", text: "\xff\xfen\x00", refused: true},
		{name: "a column twice", text: "name,name,id\na,b,7\n", refused: true},
		{name: "two columns for one thing", text: "name,id,sourcedId\na,b,7\n", refused: true},
		{name: "too many lines", text: "name,id\n" + strings.Repeat("a,7\n", MaxLines+1), refused: true},
		{name: "too large", text: "name,id\n" + strings.Repeat(" ", MaxBytes), refused: true},
	} {
		t.Run(c.name, func(t *testing.T) {
			r, err := Read([]File{{"", []byte(c.text)}}, "")
			if c.refused {
				if err == nil {
					t.Fatal("it is read")
				}
				fmt.Fprintf(&said, "%s: %s\n", c.name, err)
				return
			}
			if err != nil {
				t.Fatal(err)
			}
			if len(r.Lines) != c.lines {
				t.Errorf("%d lines, want %d: %+v", len(r.Lines), c.lines, r.Bad)
			}
			if len(r.Bad) != len(c.bad) {
				t.Fatalf("bad: %+v, want %q", r.Bad, c.bad)
			}
			for i, want := range c.bad {
				fmt.Fprintf(&said, "%s: %s\n", c.name, r.Bad[i].Why)
				if !strings.Contains(r.Bad[i].Why, want) {
					t.Errorf("bad because %q, want %q", r.Bad[i].Why, want)
				}
			}
		})
	}
	golden(t, "read.golden", said.String())
}

func zipOf(t *testing.T, files ...File) []byte {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, f := range files {
		w, err := z.Create(f.Name)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := w.Write(f.Data); err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestReadZip(t *testing.T) {
	users := File{"users.csv", []byte("sourcedId,givenName,familyName,username,password\nu1,Student,01,s01,secret\nu2,Student,02,s02,\n")}
	enrolled := File{"enrollments.csv", []byte("sourcedId,classSourcedId,userSourcedId,role\ne1,c1,u1,student\ne2,c2,u2,student\n")}
	manifest := File{"manifest.csv", []byte("propertyName,value\noneroster.version,1.2\nfile.users,delta\n")}
	whole := zipOf(t, users, enrolled, manifest, File{"orgs.csv", []byte("x")})
	r, err := Read([]File{{"mill.zip", whole}}, "c1")
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Lines) != 1 || r.Lines[0].SourcedID != "u1" || r.Lines[0].Name != "Student 01" || r.Lines[0].Section != "" || !r.Partial {
		t.Errorf("read %+v", r)
	}
	if strings.Contains(r.Lines[0].Text, "secret") {
		t.Error("a password is repeated")
	}
	for name, data := range map[string][]byte{
		"cut off":       whole[:len(whole)/2],
		"nothing in it": zipOf(t, File{"orgs.csv", nil}),
		"a bomb":        zipOf(t, File{"users.csv", bytes.Repeat([]byte(" "), MaxBytes+1)}),
	} {
		if _, err := Read([]File{{"mill.zip", data}}, ""); err == nil {
			t.Errorf("%s: read", name)
		} else if _, told := IsUnreadable(err); !told {
			t.Errorf("%s: %v is no Unreadable", name, err)
		}
	}
}

func FuzzRead(f *testing.F) {
	for _, s := range []string{"name,email,section\nStudent 01,s@m.example,A\n", "sourcedId,givenName\nu1,A\n", "userSourcedId,classSourcedId\nu,c\n", "name;id\n\"a;b\n", "PK\x03\x04"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		r, err := Read([]File{{"f", data}}, "")
		if err != nil {
			if _, told := IsUnreadable(err); !told {
				t.Fatalf("%v is no Unreadable", err)
			}
			return
		}
		for _, l := range r.Lines {
			if _, why := Check(l); why != "" {
				t.Fatalf("took %+v: %s", l, why)
			}
		}
		text, err := r.Carry()
		if err != nil {
			t.Fatal(err)
		}
		back, err := Carried(text)
		if err != nil || len(back.Lines) != len(r.Lines) {
			t.Fatalf("carried %+v as %+v, %v", r.Lines, back, err)
		}
	})
}
