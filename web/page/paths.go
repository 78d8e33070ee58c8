package page

import (
	"net/url"

	"shaftbook/exercises/class"
)

// Addresses of pages that other pages link to. The routes are in package web.

// ClassPath is the address of the first page of a class.
func ClassPath(id string) string { return "/class/" + id }

// MinePath is where students find their own work in a class.
func MinePath(class string) string { return "/mine#class-" + class }

// SignInPath is the address of the form for a visitor who goes on to another page
// then.
func SignInPath(next string) string { return "/sign-in?" + url.Values{"next": {next}}.Encode() }

// StudentPath is the address of a student's page in a class.
func StudentPath(m class.Member) string { return "/class/" + m.Class + "/student/" + m.Person }

// AssignmentPath is the address of an assignment's page.
func AssignmentPath(a *class.Assignment) string {
	return "/class/" + a.Class + "/assignment/" + a.ID
}

// MarkPath is the address of one student's marks in an assignment.
func MarkPath(a *class.Assignment, person string) string {
	return "/class/" + a.Class + "/marks/" + a.ID + "/" + person
}

// ChosenAssignment is the query of an address that shows one assignment.
const ChosenAssignment = "assignment"

// ChosenPath is the address of a page of a class with one assignment.
func ChosenPath(path, assignment string) string {
	return path + "?" + url.Values{ChosenAssignment: {assignment}}.Encode()
}

// HandoutsPath is the address of an assignment's printed sheets; what is "sheets" or
// "answers", and student is empty for the whole class.
func HandoutsPath(a *class.Assignment, what, student string) string {
	path := "/class/" + a.Class + "/" + what + "/" + a.ID
	if student != "" {
		path += "?" + url.Values{"student": {student}}.Encode()
	}
	return path
}

// The query of a room.
const (
	NamesKey    = "names" // whether names are shown
	NamesHidden = "hidden"
	ExerciseKey = "at" // the exercise whose answers are shown
)

// RoomPath is the address of a room; end is "" for the page, "/live" for its
// socket.
func RoomPath(a *class.Assignment, end, exercise string, hidden bool) string {
	query := url.Values{}
	if exercise != "" {
		query.Set(ExerciseKey, exercise)
	}
	if hidden {
		query.Set(NamesKey, NamesHidden)
	}
	path := "/class/" + a.Class + "/room/" + a.ID + end
	if len(query) == 0 {
		return path
	}
	return path + "?" + query.Encode()
}
