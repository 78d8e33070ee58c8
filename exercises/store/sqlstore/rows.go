package sqlstore

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"math"
	"reflect"
	"strings"
	"time"
	"unicode/utf8"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store"
)

// A querier reads rows, inside a transaction or outside.
type querier func(ctx context.Context, scan func(*sql.Rows) error, text string, args ...any) error

// list returns what scan makes of each row.
func list[T any](ctx context.Context, q querier, scan func(*sql.Rows) (T, error), text string, args ...any) ([]T, error) {
	var all []T
	err := q(ctx, func(rows *sql.Rows) error {
		v, err := scan(rows)
		if err == nil {
			all = append(all, v)
		}
		return err
	}, text, args...)
	return all, err
}

// one returns what scan makes of the only row, or class.ErrNone.
func one[T any](ctx context.Context, q querier, scan func(*sql.Rows) (T, error), text string, args ...any) (T, error) {
	all, err := list(ctx, q, scan, text, args...)
	if err == nil && len(all) == 0 {
		err = class.ErrNone
	}
	if err != nil {
		var zero T
		return zero, err
	}
	return all[0], nil
}

// has reports whether a query has a row; its rows are one text wide.
func has(ctx context.Context, q querier, text string, args ...any) (bool, error) {
	_, err := one(ctx, q, scanText, text, args...)
	if errors.Is(err, class.ErrNone) {
		return false, nil
	}
	return err == nil, err
}

// must returns class.ErrNone where a query has no row.
func must(ctx context.Context, q querier, text string, args ...any) error {
	_, err := one(ctx, q, scanText, text, args...)
	return err
}

func scanText(rows *sql.Rows) (s string, err error) {
	err = rows.Scan(&s)
	return s, err
}

// people is the name under which changes of classes follow one another on a
// database with several writers: they are few, and what each may do depends on
// what the others did.
const people = "class"

// alter runs a change of people or classes.
func (s *Store) alter(ctx context.Context, do func(context.Context, *transaction) error) error {
	_, err := change(ctx, s, people, func(ctx context.Context, tx *transaction) (struct{}, error) {
		return struct{}{}, do(ctx, tx)
	})
	return err
}

// longest is the greatest length of a text in bytes.
const longest = 1 << 20

var timeType = reflect.TypeFor[time.Time]()

// sound returns an error that wraps store.ErrInvalid for values that one of the
// databases cannot keep: texts must be UTF-8 without NUL and not too long, and
// numbers finite.
func sound(values ...any) error {
	for _, v := range values {
		if why := unsound(reflect.ValueOf(v)); why != "" {
			return fmt.Errorf("%w: %s", store.ErrInvalid, why)
		}
	}
	return nil
}

func unsound(v reflect.Value) (why string) {
	switch v.Kind() {
	case reflect.String:
		if s := v.String(); len(s) > longest || !utf8.ValidString(s) || strings.ContainsRune(s, 0) {
			return "a text is too long or no plain text"
		}
	case reflect.Float64:
		if f := v.Float(); math.IsNaN(f) || math.IsInf(f, 0) {
			return "a number is not finite"
		}
	case reflect.Slice:
		if v.Type().Elem().Kind() == reflect.Uint8 {
			return "" // bytes of a file
		}
		for i := 0; i < v.Len() && why == ""; i++ {
			why = unsound(v.Index(i))
		}
	case reflect.Struct:
		for i := 0; v.Type() != timeType && i < v.NumField() && why == ""; i++ {
			why = unsound(v.Field(i))
		}
	}
	return why
}
