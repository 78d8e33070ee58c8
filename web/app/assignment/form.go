package assignment

import (
	"fmt"
	"math"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"shaftbook/exercises"
	"shaftbook/exercises/class"
	"shaftbook/kernel/words"
	"shaftbook/lessons"
	"shaftbook/web/page"
)

const (
	mostTries   = 20   // as an exercise may have
	mostWeight  = 1000 // of an assignment
	dueAfter    = 7 * 24 * time.Hour
	fewestHours = time.Hour // a form begins with a full hour
)

// A Form is the form of an assignment's terms, as it was typed or as it
// begins, with what is said at its fields.
type Form struct {
	fields         []page.ClassField
	picked         []string // exercises
	exercisesWrong string
	test           bool
	heard, hears   string // what the reader was told of the times, and what there is to tell
}

// NewForm is the form with which a lesson begins: open from now on, due in a
// week at the end of the day.
func NewForm(c *Candidate, zone string, now time.Time) *Form {
	place, err := time.LoadLocation(zone)
	if err != nil {
		place, zone = time.UTC, "UTC"
	}
	y, m, d := now.In(place).Add(dueAfter).Date()
	due := time.Date(y, m, d, 23, 59, 0, 0, place)
	return FormOf(&class.Assignment{
		Title: c.Lesson.Title, Opens: now.In(place).Truncate(fewestHours), Due: due, Closes: due, Zone: zone, Weight: 1,
	}, c.Cells)
}

// FormOf is the form of an assignment that there is.
func FormOf(a *class.Assignment, cells []lessons.Cell) *Form {
	t := a.TermsFor(nil)
	closes := ""
	if t.Closes.After(t.Due) {
		closes = t.Closes.Format(class.LocalForm)
	}
	value := map[string]string{
		"title": a.Title, "opens": t.Opens.Format(class.LocalForm), "due": t.Due.Format(class.LocalForm), "closes": closes, "zone": a.Zone,
		"lateoff": Number(a.LateOff), "tries": "", "tryoff": Number(a.TryOff), "weight": Number(a.Weight),
	}
	if a.Tries > 0 {
		value["tries"] = strconv.Itoa(a.Tries)
	}
	f := &Form{fields: termFields(func(name string) string { return value[name] }), test: a.Test}
	for _, c := range cells {
		if a.Counts(c.ID) {
			f.picked = append(f.picked, c.ID)
		}
	}
	return f
}

// Number writes a number as it is typed into a field.
func Number(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

func termFields(value func(string) string) []page.ClassField {
	fields := []page.ClassField{
		{Name: "title", Label: "Title", Type: "text"},
		{Name: "opens", Label: "Opens", Type: "datetime-local", Optional: true, Help: "If empty, it opens at once."},
		{Name: "due", Label: "Due", Type: "datetime-local"},
		{Name: "closes", Label: "Closes", Type: "datetime-local", Optional: true, Help: "Late work is accepted until then; if empty, none is accepted. After this time the solutions are shown."},
		{Name: "zone", Label: "Time zone of these times", Type: "text", Help: "A name from the time zone database, for example Europe/Oslo."},
		{Name: "lateoff", Label: "Deduction for each day late, in percent", Type: "text", Help: "Part of a day counts as a whole day."},
		{Name: "tries", Label: "Tries for each part", Type: "text", Optional: true, Help: "Leave empty to use each exercise’s own setting."},
		{Name: "tryoff", Label: "Deduction for each wrong try, in percent", Type: "text"},
		{Name: "weight", Label: "Weight in the class total", Type: "text", Help: "An assignment with weight 2 counts twice as much as one with weight 1; with 0 it does not count."},
	}
	for i := range fields {
		fields[i].Value = value(fields[i].Name)
	}
	return fields
}

// ReadForm reads the form of terms over the exercises there are. What cannot
// be taken is said at its field.
func ReadForm(values url.Values, cells []lessons.Cell, now time.Time) (*Form, class.Assignment) {
	f := &Form{fields: termFields(func(name string) string { return page.OneLine(values.Get(name)) }), heard: values.Get("heard")}
	a := class.Assignment{Title: f.field("title").Value, Zone: f.field("zone").Value}
	if a.Title == "" {
		f.field("title").Wrong = "Enter a title."
	}
	f.readTimes(&a, now)
	a.LateOff = f.amount("lateoff", 100)
	a.TryOff = f.amount("tryoff", 100)
	a.Weight = f.amount("weight", mostWeight)
	a.Tries = f.tries()
	f.test = values.Get("test") != ""
	a.Test = f.test
	for _, c := range cells {
		if slices.Contains(values["exercise"], c.ID) {
			f.picked = append(f.picked, c.ID)
		}
	}
	if len(cells) > 0 && len(f.picked) == 0 {
		f.exercisesWrong = "Choose at least one exercise."
	}
	if len(f.picked) < len(cells) {
		a.Exercises = f.picked
	}
	page.RefuseLong(f.fields)
	return f, a
}

// field returns the field of a name.
func (f *Form) field(name string) *page.ClassField {
	i := slices.IndexFunc(f.fields, func(c page.ClassField) bool { return c.Name == name })
	return &f.fields[i]
}

func (f *Form) readTimes(a *class.Assignment, now time.Time) {
	zone, err := LoadZone(a.Zone)
	if err != nil {
		f.field("zone").Wrong = NoZone
		return
	}
	a.Opens = f.moment("opens", zone)
	a.Due = f.moment("due", zone)
	a.Closes = f.moment("closes", zone)
	due, closes := f.field("due"), f.field("closes")
	if f.field("opens").Value == "" {
		a.Opens = now
	}
	switch {
	case due.Value == "":
		due.Wrong = "Enter a due time."
	case due.Wrong == "" && !a.Opens.IsZero() && !a.Due.After(a.Opens):
		due.Wrong = "This must be after the opening time."
	}
	switch {
	case closes.Value == "":
		a.Closes = a.Due
	case closes.Wrong == "" && due.Wrong == "" && a.Closes.Before(a.Due):
		closes.Wrong = "This must not be before the due time."
	}
}

// NoZone says that a zone is not known.
const NoZone = "There is no such time zone. Use continent and city, for example Europe/Oslo or America/New_York; UTC works too."

// LoadZone is time.LoadLocation without Local, which is the zone of whatever
// machine this runs on, and without the empty name.
func LoadZone(name string) (*time.Location, error) {
	if name == "" || name == "Local" {
		return nil, fmt.Errorf("no zone %q", name)
	}
	return time.LoadLocation(name)
}

// moment reads a field with a date and a time of day. What a reader must know
// of the choice is said at the field.
func (f *Form) moment(name string, zone *time.Location) time.Time {
	field := f.field(name)
	t, hears := readMoment(field, zone)
	f.hears += hears
	return t
}

// readMoment reads a field with a date and a time of day, in a zone. hears is
// what there is to tell of a time that comes twice; it is said at the field.
func readMoment(field *page.ClassField, zone *time.Location) (t time.Time, hears string) {
	if field.Value == "" {
		return t, ""
	}
	local, err := class.ReadLocal(field.Value, zone)
	if err != nil {
		field.Wrong = sentence(err.Error())
		return t, ""
	}
	if local.Remark == "" {
		return local.At, ""
	}
	field.Help = local.Remark
	return local.At, field.Name + " " + field.Value + " "
}

// sentence begins a text with a capital and ends it with a full stop.
func sentence(s string) string {
	return strings.ToUpper(s[:1]) + s[1:] + "."
}

// amount reads a number from 0 to a greatest one.
func (f *Form) amount(name string, most float64) float64 {
	field := f.field(name)
	v, err := strconv.ParseFloat(strings.TrimSuffix(strings.TrimSuffix(field.Value, "%"), " "), 64)
	if err != nil || math.IsNaN(v) || v < 0 || v > most {
		field.Wrong = fmt.Sprintf("Enter a number from 0 to %g, for example 12.5.", most)
		return 0
	}
	return v
}

func (f *Form) tries() int {
	field := f.field("tries")
	if field.Value == "" {
		return 0
	}
	n, err := strconv.Atoi(field.Value)
	if err != nil || n < 1 || n > mostTries {
		field.Wrong = fmt.Sprintf("Enter a whole number from 1 to %d.", mostTries)
	}
	return n
}

// TwiceWords is shown above a form with a time that comes twice.
const TwiceWords = "One of these times occurs twice on that day. See the message at the field, then press the button again."

func (f *Form) IsWrong() bool {
	return f.exercisesWrong != "" || slices.ContainsFunc(f.fields, func(c page.ClassField) bool { return c.Wrong != "" })
}

// IsTaken reports whether the form can be taken as it is: nothing is wrong, and
// what there was to tell of its times was told.
func (f *Form) IsTaken() bool { return !f.IsWrong() && f.heard == f.hears }

func (f *Form) View(cells []lessons.Cell, list []*exercises.Exercise) page.AssignForm {
	v := page.AssignForm{Fields: f.fields, ExercisesWrong: f.exercisesWrong, Test: f.test, Heard: f.hears}
	switch {
	case f.IsWrong():
		v.Look = "Nothing has been saved yet: see the messages next to the fields."
	case f.hears != "":
		v.Look = TwiceWords
	}
	for i, c := range cells {
		v.Exercises = append(v.Exercises, page.AssignExercise{
			ID: c.ID, Title: list[i].Title, Says: words.CountOf(list[i].Attempts, "try", "tries"), Picked: slices.Contains(f.picked, c.ID),
		})
	}
	return v
}
