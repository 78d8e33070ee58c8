package roster

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"io"
	"path"
	"strings"
)

// Read reads the files of one roster. Only names, if it is not empty, the one
// class of enrollments.csv (its classSourcedId) whose people are taken. An error
// is an *Unreadable, with what to do.
func Read(files []File, only string) (*Roster, error) {
	files, err := unzipped(files)
	if err != nil {
		return nil, err
	}
	r := &Roster{}
	var users, enrolled *table
	for _, f := range files {
		t, bad, err := readTable(f)
		if err != nil {
			return nil, err
		}
		r.Bad = append(r.Bad, bad...)
		switch {
		case t.has("propertyname") && t.has("value"):
			r.manifest(t)
		case t.has("usersourcedid"):
			if enrolled != nil {
				return nil, &Unreadable{f.Name, "There are two files of enrolments. Import one at a time."}
			}
			enrolled = t
		case t.has("sourcedid") && (t.has("givenname") || t.has("familyname")):
			if users != nil {
				return nil, &Unreadable{f.Name, "There are two files of users. Import one at a time."}
			}
			users = t
		case t.has("name"):
			if err := r.plain(t); err != nil {
				return nil, err
			}
		default:
			return nil, &Unreadable{f.Name, "There is no column “name” in its first line. The first line of a roster names the columns: name, and one of email, id and username; for example “name,email,section”."}
		}
	}
	if err := r.oneRoster(users, enrolled, clean(only)); err != nil {
		return nil, err
	}
	if len(r.Lines)+len(r.Bad) == 0 {
		return nil, &Unreadable{"", "The roster you entered has no students. Choose a file, or paste the list."}
	}
	r.onceEach()
	return r, nil
}

// plainHeads are the names of columns of a plain file, folded.
var plainHeads = map[string]string{
	"name": "name", "email": "email", "id": "id", "sourcedid": "id", "schoolid": "id", "studentnumber": "id", "username": "username", "signinname": "username", "section": "section", "group": "section",
}

// plain takes the lines of a plain file.
func (r *Roster) plain(t *table) error {
	at := map[string]string{} // our name of a column → folded header
	for folded, ours := range plainHeads {
		if !t.has(folded) {
			continue
		}
		if at[ours] != "" {
			return &Unreadable{t.file, fmt.Sprintf("Two columns could be the %s. Remove one.", ours)}
		}
		at[ours] = folded
	}
	if at["email"] == "" && at["id"] == "" && at["username"] == "" {
		return &Unreadable{t.file, "Besides “name” it needs a column that identifies each person: email, id or username."}
	}
	for _, head := range t.heads {
		if plainHeads[foldHead(head)] == "" && clean(head) != "" {
			r.Notes = append(r.Notes, fmt.Sprintf("The column “%s” is ignored.", clean(head)))
		}
	}
	for _, row := range t.rows {
		get := func(ours string) string {
			if at[ours] == "" {
				return ""
			}
			return t.field(row, at[ours])
		}
		r.add(Line{
			File: t.file, Number: row.number, Text: row.text,
			Name: get("name"), Email: get("email"), SourcedID: get("id"), SignIn: get("username"), Section: get("section"),
		}, true)
	}
	return nil
}

// add takes a line, or reports why it is bad.
func (r *Roster) add(l Line, named bool) {
	_, why := Check(l)
	if why == "" && named && l.Name == "" {
		why = "The name is missing."
	}
	if why != "" {
		r.bad(&l, why)
		return
	}
	r.Lines = append(r.Lines, l)
}

// unzipped replaces a zip by the files in it that are read.
func unzipped(files []File) ([]File, error) {
	var all []File
	left := int64(MaxBytes)
	for _, f := range files {
		if !bytes.HasPrefix(f.Data, []byte("PK\x03\x04")) {
			if left -= int64(len(f.Data)); left < 0 {
				return nil, tooLarge(f.Name)
			}
			all = append(all, f)
			continue
		}
		z, err := zip.NewReader(bytes.NewReader(f.Data), int64(len(f.Data)))
		if err != nil {
			return nil, &Unreadable{f.Name, "The zip file cannot be opened. It may be incomplete; download it again."}
		}
		found := false
		for _, member := range z.File {
			switch strings.ToLower(path.Base(member.Name)) {
			case "users.csv", "enrollments.csv", "manifest.csv":
			default:
				continue
			}
			data, err := unpack(member, left)
			if err != nil {
				return nil, err
			}
			found = true
			left -= int64(len(data))
			all = append(all, File{path.Base(member.Name), data})
		}
		if !found {
			return nil, &Unreadable{f.Name, "The zip file contains neither users.csv nor enrollments.csv."}
		}
	}
	return all, nil
}

func unpack(member *zip.File, limit int64) ([]byte, error) {
	in, err := member.Open()
	if err != nil {
		return nil, &Unreadable{member.Name, "It is compressed in an unsupported way. Unpack the zip file and import its contents."}
	}
	defer in.Close()
	data, err := io.ReadAll(io.LimitReader(in, limit+1))
	if err != nil {
		return nil, &Unreadable{member.Name, "The zip file is damaged. Download it again."}
	}
	if int64(len(data)) > limit {
		return nil, tooLarge(member.Name)
	}
	return data, nil
}

func tooLarge(file string) error {
	return &Unreadable{file, fmt.Sprintf("The files have more than %d MB in total. Remove people from other classes.", MaxBytes>>20)}
}

// IsUnreadable returns the message to a reader about an error of Read.
func IsUnreadable(err error) (*Unreadable, bool) {
	var u *Unreadable
	return u, errors.As(err, &u)
}
