package classroom

import (
	"context"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store"
	"shaftbook/web/app/assignment"
	"shaftbook/web/app/enrolment"
	"shaftbook/web/app/gradebook"
	"shaftbook/web/app/regrade"
	"shaftbook/web/app/room"
	"shaftbook/web/app/token"
)

// A Store keeps what the handlers show and change; contract.School has it.
type Store interface {
	People
	Classes
	Assignments
	Marks
	token.Links
	room.Store
	Watch(ctx context.Context) (<-chan string, error)
}

// People keeps accounts as the instructors of a class see them.
type People interface {
	enrolment.Store
	PersonByFeed(ctx context.Context, feed string) (class.Person, error)
	EndSessions(ctx context.Context, person string) error
	Dossier(ctx context.Context, person string) (class.Dossier, error)
	ShownIn(ctx context.Context, class, person string) ([]class.ShownPage, error)
}

// Classes keeps classes with their rosters and logs.
type Classes interface {
	AddClass(ctx context.Context, c class.Class, staff []string, assigned []class.Assignment, e class.Entry) error
	UpdateClass(ctx context.Context, c class.Class, e class.Entry) error
	Log(ctx context.Context, class, about string, before int64, limit int) ([]class.Entry, error)
	Note(ctx context.Context, e class.Entry) error
}

// Assignments keeps assignments with the terms of each student.
type Assignments interface {
	assignment.AssignedStore
	assignment.HandoutStore
	assignment.EditStore
}

// Marks keeps what marks come from.
type Marks interface {
	gradebook.Store
	regrade.Store
	gradebook.OverrideStore
	Regraded(ctx context.Context, lesson string) ([]store.Attempt, error)
}
