// Package lists makes a list of another: every value turned into another, or those alone that are wanted.
package lists

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
