// Package classroom answers the requests about classes: their pages, rosters,
// assignments, marks, question analysis, the live room, printed sheets, the log,
// and what a student has in all of them. It begins at New; Handlers.Routes are its
// addresses.
package classroom

import (
	"context"
	"slices"

	"shaftbook/exercises/class"
	"shaftbook/lessons"
	"shaftbook/web/app/assignment"
	"shaftbook/web/app/attempt"
	"shaftbook/web/app/authoring"
	"shaftbook/web/app/gradebook"
	"shaftbook/web/request"
	"shaftbook/web/socket"
)

// A Config holds what the handlers depend on.
type Config struct {
	Site     *request.Site
	Store    Store
	Catalog  *lessons.Current
	Attempts *attempt.Service // nil leaves out assignments, marks and rooms

	Writing                 *authoring.Service // nil leaves out the writing of lessons
	DraftStyle, DraftScript string             // addresses of static files
	// Preview makes the page of a lesson that is written, whose images are under images.
	Preview func(ctx context.Context, person string, l *lessons.Lesson, images string) (string, error)

	Given       func(ctx context.Context, a class.Assignment) (*lessons.Lesson, error) // the lesson of an assignment as it was given
	Lesson      func(ctx context.Context, person, key string) (*lessons.Lesson, error) // the same by its key, for a person who may see it
	Allows      func(origin string) bool                                               // whether pages of an origin may open a room's socket
	SessionOpen func(ctx context.Context, session string) bool                         // whether a session has not ended; it is made to last on
	Sockets     socket.Meter                                                           // counts the sockets of rooms; nil does not
	Recheck     func(person string)                                                    // closes the live connections that a person may no longer have
}

// Handlers answer the requests about classes.
type Handlers struct {
	Config
	*request.Site
	Files *assignment.Files

	rooms *rooms
}

// New returns the handlers.
func New(c Config) *Handlers {
	h := &Handlers{Config: c, Site: c.Site, Files: assignment.NewFiles(c.Catalog)}
	h.rooms = newRooms(h)
	return h
}

// Routes are the addresses of the handlers.
func (h *Handlers) Routes() []request.Route {
	list := slices.Concat((&classes{h}).routes(), (&rosters{h}).routes(), (&ownWork{h}).routes())
	if h.Attempts == nil {
		return list
	}
	return slices.Concat(list, h.rooms.routes(), (&assignments{h}).routes(), (&handouts{h}).routes(), (&marks{h}).routes(), (&writing{h}).routes())
}

// Close ends the sockets of all rooms and waits for them until ctx ends.
func (h *Handlers) Close(ctx context.Context) error { return h.rooms.close(ctx) }

// gradebook reads marks from the store.
func (h *Handlers) gradebook() *gradebook.Reader { return gradebook.New(h.Store, h.Attempts, h.Given) }
