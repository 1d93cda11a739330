package session

import (
	"iter"
	"slices"
)

// chain is a list that grows at its end and never changes: a longer one shares all
// that the shorter one holds, so that every session of a book can keep its own.
type chain[T any] struct{ last *link[T] }

type link[T any] struct {
	item   T
	before *link[T]
	n      int // items up to this one
}

// chainOf is the chain of the items, from the first to the last.
func chainOf[T any](items []T) chain[T] {
	var out chain[T]
	for _, item := range items {
		out = out.with(item)
	}
	return out
}

// with is the chain with one more item at its end.
func (c chain[T]) with(item T) chain[T] {
	return chain[T]{&link[T]{item: item, before: c.last, n: c.len() + 1}}
}

func (c chain[T]) len() int {
	if c.last == nil {
		return 0
	}
	return c.last.n
}

// latest is the last item, and the chain without it; ok is false where there is none.
func (c chain[T]) latest() (item T, before chain[T], ok bool) {
	if c.last == nil {
		return item, c, false
	}
	return c.last.item, chain[T]{c.last.before}, true
}

// backwards gives the items from the last to the first.
func (c chain[T]) backwards() iter.Seq[T] {
	return func(yield func(T) bool) {
		for l := c.last; l != nil; l = l.before {
			if !yield(l.item) {
				return
			}
		}
	}
}

// all is the items from the first to the last, in a slice of its own.
func (c chain[T]) all() []T {
	out := make([]T, 0, c.len())
	for item := range c.backwards() {
		out = append(out, item)
	}
	slices.Reverse(out)
	return out
}

// keeping is the chain of the items that are kept, made anew.
func (c chain[T]) keeping(keep func(T) bool) chain[T] {
	return chainOf(slices.DeleteFunc(c.all(), func(item T) bool { return !keep(item) }))
}
