package roster

import (
	"fmt"
	"slices"
	"strings"
)

// manifest takes from a OneRoster manifest whether the files are whole.
func (r *Roster) manifest(t *table) {
	for _, row := range t.rows {
		switch strings.ToLower(t.field(row, "propertyname")) {
		case "file.users", "file.enrollments":
			r.Partial = r.Partial || strings.EqualFold(t.field(row, "value"), "delta")
		}
	}
}

// An enrolment is the line of enrollments.csv for one person.
type enrolment struct {
	line    Line
	role    string
	classes []string
}

// oneRoster takes the users who are enrolled; all of them if there is no file
// of enrolments. Without a file of users the enrolments themselves are lines,
// for people who are known already.
func (r *Roster) oneRoster(users, enrolled *table, only string) error {
	if enrolled == nil {
		if only != "" {
			return &Unreadable{"", "To import a single class, enrollments.csv is needed."}
		}
		if users != nil {
			r.users(users, nil)
		}
		return nil
	}
	in, order := r.enrolments(enrolled, only)
	if users != nil {
		r.users(users, in)
		return nil
	}
	for _, id := range order {
		if e := in[id]; r.isStudent(e.role, id) {
			r.add(e.line, false)
		}
	}
	return nil
}

// enrolments reads enrollments.csv: who is in which class, as what.
func (r *Roster) enrolments(t *table, only string) (map[string]*enrolment, []string) {
	in := map[string]*enrolment{}
	var order, classes []string
	for _, row := range t.rows {
		of, id := t.field(row, "classsourcedid"), t.field(row, "usersourcedid")
		if only != "" && of != only {
			continue
		}
		out, why := isOut(t.field(row, "status"), "")
		if id == "" {
			why = "It has no userSourcedId."
		}
		if why != "" {
			r.Bad = append(r.Bad, Bad{t.file, row.number, row.text, why})
			continue
		}
		if !slices.Contains(classes, of) {
			classes = append(classes, of)
		}
		e := in[id]
		if e == nil {
			e = &enrolment{line: Line{File: t.file, Number: row.number, Text: row.text, SourcedID: id, Out: true}}
			in[id] = e
			order = append(order, id)
		}
		// One who is in any of the classes is in.
		e.line.Out = e.line.Out && out
		if !out || e.role == "" {
			e.role = t.field(row, "role")
		}
		if !out {
			e.classes = append(e.classes, of)
		}
	}
	if len(classes) < 2 {
		return in, order
	}
	for _, e := range in {
		if len(e.classes) > 0 {
			e.line.Section = e.classes[0]
		}
	}
	r.Notes = append(r.Notes, fmt.Sprintf("The enrolments are for %d classes (%s); the ID of each student’s class is used as the section. To import a single class, go back and enter its ID.", len(classes), someOf(classes)))
	return in, order
}

const classesNamed = 12 // of a file with many more

func someOf(classes []string) string {
	if more := len(classes) - classesNamed; more > 0 {
		return fmt.Sprintf("%s and %d more", strings.Join(classes[:classesNamed], ", "), more)
	}
	return strings.Join(classes, ", ")
}

// users reads users.csv. In is who is enrolled, or nil for everybody.
func (r *Roster) users(t *table, in map[string]*enrolment) {
	seen := map[string]bool{}
	for _, row := range t.rows {
		get := func(column string) string { return t.field(row, column) }
		id, role := get("sourcedid"), get("role")
		l := Line{
			File: t.file, Number: row.number, Text: withoutPassword(t, row),
			SourcedID: id, SignIn: get("username"), Email: get("email"),
			Name: fullName(get("preferredgivenname"), get("givenname"), get("preferredfamilyname"), get("familyname")),
		}
		out, why := isOut(get("status"), get("enableduser"))
		l.Out = out
		if in != nil {
			e, enrolled := in[id]
			if !enrolled {
				continue
			}
			seen[id] = true
			role, l.Section, l.Out = e.role, e.line.Section, l.Out || e.line.Out
		}
		if why == "" && id == "" {
			why = "It has no sourcedId."
		}
		if why != "" {
			r.Bad = append(r.Bad, Bad{l.File, l.Number, l.Text, why})
			continue
		}
		if r.isStudent(role, l.Name) {
			r.add(l, true)
		}
	}
	for _, id := range sortedKeys(in) {
		if e := in[id]; !seen[id] && r.isStudent(e.role, id) {
			r.add(e.line, false) // of a person who may be known from an earlier file
		}
	}
}

// isStudent reports whether a role is that of a student. The person who is something
// else is named and not taken: a roster makes no instructors.
func (r *Roster) isStudent(role, who string) bool {
	if role == "" || strings.EqualFold(role, "student") {
		return true
	}
	r.Notes = append(r.Notes, fmt.Sprintf("%s is listed as %s and is not imported. To add a colleague, create an invitation link.", who, strings.ToLower(role)))
	return false
}

// isOut reads status and enabledUser. In a whole file both may be blank.
func isOut(status, enabled string) (out bool, why string) {
	switch strings.ToLower(status) {
	case "", "active":
	case "tobedeleted", "inactive": // inactive is of 1.0
		out = true
	default:
		return false, fmt.Sprintf("The status “%s” is unknown; it must be active, tobedeleted or empty.", status)
	}
	switch strings.ToLower(enabled) {
	case "", "true":
	case "false":
		out = true
	default:
		return false, fmt.Sprintf("enabledUser is “%s”; it must be true, false or empty.", enabled)
	}
	return out, ""
}

// fullName prefers the names that a person uses.
func fullName(given, legalGiven, family, legalFamily string) string {
	if given == "" {
		given = legalGiven
	}
	if family == "" {
		family = legalFamily
	}
	return clean(given + " " + family)
}

// withoutPassword is a line as it may be shown: users.csv has a column for
// passwords, which is neither read nor repeated.
func withoutPassword(t *table, r row) string {
	if t.field(r, "password") == "" {
		return r.text
	}
	fields := slices.Clone(r.fields)
	fields[t.columns["password"]] = "…"
	return strings.Join(fields, ",")
}

func sortedKeys(in map[string]*enrolment) []string {
	keys := make([]string, 0, len(in))
	for k := range in {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}
