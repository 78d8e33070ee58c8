// Package pause lets a long calculation give way to others while it goes on: it
// reports the work that it has done as it does it, and whoever shares out the
// processor may hold it up in that call.
//
// A caller that shares out the processor puts a Point into the context with With; a
// calculation takes it out once with From and calls Here now and then. What comes
// out of a calculation never depends on its pauses.
package pause

import "context"

// A Point is where a calculation may be held up. It belongs to one calculation, and
// one goroutine at a time calls it.
type Point interface {
	// Here reports work done since the last call, in the unit of
	// program.Limits.Work, about a nanosecond each. It returns when the calculation
	// may go on; it does not report whether the context has ended.
	Here(work int64)
}

type key struct{}

// With returns a context whose calculations pause at a point.
func With(ctx context.Context, p Point) context.Context { return context.WithValue(ctx, key{}, p) }

// From returns the point of a context, or nil if calculations under it need not
// give way.
func From(ctx context.Context) Point {
	p, _ := ctx.Value(key{}).(Point)
	return p
}

// Here reports work to the point of a context, if it has one.
func Here(ctx context.Context, work int64) {
	if p := From(ctx); p != nil {
		p.Here(work)
	}
}
