package web

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"time"

	"shaftbook/exercises"
	"shaftbook/exercises/class"
	"shaftbook/exercises/store/contract"
	"shaftbook/lessons"
	"shaftbook/web/app/attempt"
	"shaftbook/web/app/handout"
	"shaftbook/web/page"
)

// sheetsWait bounds the drawing of the sheets of a whole class.
const sheetsWait = 5 * time.Minute

// sheetRoutes are the routes of problem sheets.
func (s *Server) sheetRoutes() []route {
	if s.Desk == nil {
		return nil
	}
	return []route{{reader, "GET /lesson/{slug}/sheet", s.showOwnSheet}}
}

// classSheetRoutes are those of an assignment's sheets and answers.
func (s *Server) classSheetRoutes() []route {
	if s.Desk == nil {
		return nil
	}
	return []route{
		{staff, "GET /class/{class}/sheets/{assignment}", s.showSheets},
		{staff, "GET /class/{class}/answers/{assignment}", s.showAnswers},
	}
}

// ownSheetPath is the address of a reader's own sheet of a lesson.
func ownSheetPath(slug string) string { return lessons.Path(slug) + "/sheet" }

// sheetsPath is the address of an assignment's sheets; what is "sheets" or
// "answers", and student is empty for everybody's.
func sheetsPath(a *class.Assignment, what, student string) string {
	path := "/class/" + a.Class + "/" + what + "/" + a.ID
	if student != "" {
		path += "?" + url.Values{"student": {student}}.Encode()
	}
	return path
}

// showOwnSheet shows a reader's own numbers on paper.
func (s *Server) showOwnSheet(w http.ResponseWriter, r *http.Request) {
	p, err := s.lessonPage(r)
	if err == nil && len(p.lesson.CellsOf(lessons.Exercise)) == 0 {
		err = errNoSheet
	}
	if err != nil {
		s.failStore(w, r, err)
		return
	}
	sheet := handout.Handout{Title: p.lesson.Title, Name: of(r).person.Name}
	counts := func(string) bool { return true }
	if _, id := class.SplitKey(p.lesson.Slug); id != "" {
		a, err := s.Class.Assignment(r.Context(), id)
		if err == nil {
			err = s.headSheet(r.Context(), &sheet, &a, of(r).person.ID)
		}
		if err != nil {
			s.failClass(w, r, err)
			return
		}
		counts = a.Counts
	}
	ctx, cancel := context.WithTimeout(r.Context(), sheetsWait)
	defer cancel()
	if sheet.Problems, err = problems(ctx, s.Desk, p.lesson, s.knownLearner(w, r), counts, false); err != nil {
		s.fail(w, r, err)
		return
	}
	s.sendClass(w, r, http.StatusOK, "own-sheet", page.OwnSheet{
		Frame: s.frame("Problem sheet · "+p.lesson.Title, ""), Lesson: lessons.Path(p.lesson.Slug), Sheet: page.NewSheet(sheet, "sheet"),
	})
}

var errNoSheet = &refusal{http.StatusNotFound, "not-found", "There is no problem sheet", "This lesson has no exercise. Those that have one show the sheet under “Take it along”."}

// headSheet writes what stands at the head of a student's sheet.
func (s *Server) headSheet(ctx context.Context, sheet *handout.Handout, a *class.Assignment, person string) error {
	c, err := s.Class.Class(ctx, a.Class)
	if err != nil {
		return err
	}
	given, err := s.Class.Extensions(ctx, a.ID)
	if err != nil {
		return err
	}
	sheet.Title, sheet.Class = a.Title, className(c)
	sheet.Due = dueFor(a, given, person)
	return nil
}

func className(c class.Class) string {
	if c.Term == "" {
		return c.Name
	}
	return c.Name + ", " + c.Term
}

func dueFor(a *class.Assignment, given []class.Extension, person string) string {
	for i := range given {
		if given[i].Person == person {
			return zoned(a.TermsFor(&given[i]).Due, a.Zone)
		}
	}
	return zoned(a.Due, a.Zone)
}

// problems puts the exercises of a lesson that count on paper.
func problems(ctx context.Context, desk *attempt.Service, l *lessons.Lesson, learner string, counts func(string) bool, answers bool) ([]handout.Problem, error) {
	var list []handout.Problem
	for _, cell := range l.CellsOf(lessons.Exercise) {
		if !counts(cell.ID) {
			continue
		}
		var p handout.Problem
		err := desk.With(ctx, attempt.Place{Learner: learner, Lesson: l, Cell: cell}, func(v *exercises.Variant) (err error) {
			p, err = handout.Of(ctx, v, answers)
			return err
		})
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		if err != nil {
			var unset *attempt.Unset
			if errors.As(err, &unset) {
				err = unset.Err
			}
			p = handout.Unset(cmp.Or(p.Title, cell.Name), err)
		}
		list = append(list, p)
	}
	return list, nil
}

// AssignmentSheets draws the sheets of everybody in the class of an assignment,
// or what is expected on them. An exercise that cannot be set says so on the
// sheet; the error is the store's, or ctx's.
func AssignmentSheets(ctx context.Context, store contract.School, desk *attempt.Service, a *class.Assignment, answers bool) ([]handout.Handout, error) {
	l, err := givenLesson(ctx, store, a)
	if err != nil {
		return nil, err
	}
	_, sheets, err := sheetsOf(ctx, store, desk, l, a, "", answers)
	return sheets, err
}

// sheetsOf draws the sheets of one student of the class of an assignment, also of
// one who has left, or of everybody.
func sheetsOf(ctx context.Context, store contract.School, desk *attempt.Service, l *lessons.Lesson, a *class.Assignment, one string, answers bool) ([]class.Person, []handout.Handout, error) {
	c, err := store.Class(ctx, a.Class)
	if err != nil {
		return nil, nil, err
	}
	students, err := sheetStudents(ctx, store, a, one)
	if err != nil {
		return nil, nil, err
	}
	given, err := store.Extensions(ctx, a.ID)
	if err != nil {
		return nil, nil, err
	}
	var sheets []handout.Handout
	for _, person := range students {
		sheet := handout.Handout{Title: a.Title, Name: person.Name, Class: className(c), Due: dueFor(a, given, person.ID), Answers: answers}
		if sheet.Problems, err = problems(ctx, desk, l, person.ID, a.Counts, answers); err != nil {
			return nil, nil, err
		}
		sheets = append(sheets, sheet)
	}
	return students, sheets, nil
}

// sheetStudents are the students of a class, or the one that is asked for.
func sheetStudents(ctx context.Context, store contract.School, a *class.Assignment, one string) ([]class.Person, error) {
	people, members, err := store.Members(ctx, a.Class)
	if err != nil {
		return nil, err
	}
	var list []class.Person
	for i, m := range members {
		if m.Role == class.Student && (one == m.Person || one == "" && !m.Left) {
			list = append(list, people[i])
		}
	}
	if one != "" && len(list) == 0 {
		return nil, class.ErrNone
	}
	return list, nil
}

func (s *Server) showSheets(w http.ResponseWriter, r *http.Request) { s.sendSheets(w, r, false) }

func (s *Server) showAnswers(w http.ResponseWriter, r *http.Request) { s.sendSheets(w, r, true) }

// sendSheets sends a sheet for each student of the class, or for the one that is
// asked for.
func (s *Server) sendSheets(w http.ResponseWriter, r *http.Request, answers bool) {
	a, err := s.Class.Assignment(r.Context(), r.PathValue("assignment"))
	if err == nil && a.Class != of(r).class.ID {
		err = class.ErrNone
	}
	if err != nil {
		s.failClass(w, r, err)
		return
	}
	p, err := s.book.assigned(r.Context(), a)
	if err != nil {
		s.failClass(w, r, err)
		return
	}
	what, other, title := "sheets", "answers", "Problem sheets: "
	if answers {
		what, other, title = "answers", "sheets", "Answers: "
	}
	ctx, cancel := context.WithTimeout(r.Context(), sheetsWait)
	defer cancel()
	one := r.URL.Query().Get("student")
	students, sheets, err := sheetsOf(ctx, s.Class, s.Desk, p.lesson, &a, one, answers)
	if errors.Is(err, context.DeadlineExceeded) {
		err = errSheetsLong
	}
	if err != nil {
		s.failClass(w, r, err)
		return
	}
	view := page.ClassSheets{
		ClassFrame: s.classFrame(r, title+a.Title, ""), Heading: a.Title, Answers: answers,
		Assignment: assignmentPath(&a), Other: sheetsPath(&a, other, one),
	}
	for i, sheet := range sheets {
		view.Sheets = append(view.Sheets, page.NewSheet(sheet, fmt.Sprintf("sheet-%d", i+1)))
		view.Students = append(view.Students, page.ClassWay{Label: sheet.Name, Path: sheetsPath(&a, what, students[i].ID)})
	}
	if one != "" {
		view.All, view.Students = sheetsPath(&a, what, ""), nil
	}
	s.sendClass(w, r, http.StatusOK, "class-sheets", view)
}

var errSheetsLong = &refusal{http.StatusServiceUnavailable, "busy", "The sheets take too long to draw just now",
	"The server is busy. Load the page again in a moment."}
