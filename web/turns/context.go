package turns

import "context"

type (
	insideKey struct{} // the calculation that a context belongs to
	ownerKey  struct{}
	classKey  struct{}
)

// An owner is a queue and the person who waits in it.
type owner struct {
	queue *Queue
	who   Who
}

// With returns a context whose work is done for a person, in turns of a queue.
func With(ctx context.Context, q *Queue, who Who) context.Context {
	return context.WithValue(ctx, ownerKey{}, owner{q, who})
}

// For returns a context whose work is done for somebody else, in turns of the same
// queue. Without a queue it is ctx.
func For(ctx context.Context, who Who) context.Context {
	o, ok := ctx.Value(ownerKey{}).(owner)
	if !ok {
		return ctx
	}
	return With(ctx, o.queue, who)
}

// Like returns ctx with the queue and the person of another context.
func Like(ctx, other context.Context) context.Context {
	return context.WithValue(ctx, ownerKey{}, other.Value(ownerKey{}))
}

// As returns a context whose work is of a class, whatever the class is that Do is
// called with: answers that are read for re-marking a class are not waited for one
// by one.
func As(ctx context.Context, class Class) context.Context {
	return context.WithValue(ctx, classKey{}, class)
}

// Used returns the work that the Do has cost to which a context belongs, as far as
// its turns have ended; 0 outside. It may be called from any goroutine.
func Used(ctx context.Context) int64 {
	c, ok := ctx.Value(insideKey{}).(*calculation)
	if !ok {
		return 0
	}
	c.queue.mu.Lock()
	defer c.queue.mu.Unlock()
	return c.used
}

// Do calls f when a turn comes for the person of the context; see Queue.Do. Without
// a person, as in a command, and inside another Do, it calls f at once.
func Do(ctx context.Context, class Class, f func(ctx context.Context) error) error {
	o, ok := ctx.Value(ownerKey{}).(owner)
	if !ok || ctx.Value(insideKey{}) != nil {
		return f(ctx)
	}
	if of, ok := ctx.Value(classKey{}).(Class); ok {
		class = of
	}
	return o.queue.Do(ctx, Task{Who: o.who, Class: class}, f)
}
