package reader

import "context"

// A memo is a value that is made once, when it is first asked for. An error is not
// kept: the next caller makes the value again.
type memo[T any] struct {
	make  func(ctx context.Context) (T, error)
	one   chan struct{} // holds a token while the value is made
	made  chan struct{} // closed when there is a value
	value T
}

func newMemo[T any](how func(ctx context.Context) (T, error)) *memo[T] {
	return &memo[T]{make: how, one: make(chan struct{}, 1), made: make(chan struct{})}
}

// get returns the value. While another caller makes it, it waits for that one. The
// error is that of making it, or ctx's.
func (m *memo[T]) get(ctx context.Context) (none T, err error) {
	select {
	case <-m.made:
		return m.value, nil
	case m.one <- struct{}{}:
	case <-ctx.Done():
		return none, ctx.Err()
	}
	defer func() { <-m.one }()
	select {
	case <-m.made: // by the one before
		return m.value, nil
	default:
	}
	value, err := m.make(ctx)
	if err != nil {
		return none, err
	}
	m.value = value
	close(m.made)
	return value, nil
}
