// Package lists makes lists of others: each value turned into another, those that are wanted, one more, all picks.
package lists

import "slices"

// Mapped is f of each value.
func Mapped[A, B any](list []A, f func(A) B) []B {
	out := make([]B, len(list))
	for i, x := range list {
		out[i] = f(x)
	}
	return out
}

// Made is f of each place of n, from 0.
func Made[B any](n int, f func(i int) B) []B {
	out := make([]B, n)
	for i := range out {
		out[i] = f(i)
	}
	return out
}

// Indices are the places of n, from 0.
func Indices(n int) []int {
	return Made(n, func(i int) int { return i })
}

// Where is the values that are wanted, in a list of their own; nil of none.
func Where[A any](list []A, wanted func(A) bool) []A {
	var out []A
	for _, x := range list {
		if wanted(x) {
			out = append(out, x)
		}
	}
	return out
}

// Count is how many values are wanted.
func Count[A any](list []A, wanted func(A) bool) int {
	n := 0
	for _, x := range list {
		if wanted(x) {
			n++
		}
	}
	return n
}

// With is the list with one more behind it, unless it is in it already.
func With[A comparable](list []A, one A) []A {
	if slices.Contains(list, one) {
		return list
	}
	return append(list, one)
}

// Combinations are all picks of one of each list, the last running fastest; one empty pick of no lists.
func Combinations[A any](of [][]A) [][]A {
	out := [][]A{nil}
	for _, list := range of {
		var next [][]A
		for _, head := range out {
			for _, one := range list {
				next = append(next, append(slices.Clip(head), one))
			}
		}
		out = next
	}
	return out
}
