package lists

import (
	"slices"
	"strconv"
	"testing"
)

func TestLists(t *testing.T) {
	even := func(n int) bool { return n%2 == 0 }
	if got := Mapped([]int{3, 1, 4}, strconv.Itoa); !slices.Equal(got, []string{"3", "1", "4"}) {
		t.Errorf("Mapped: %q", got)
	}
	if got := Made(4, func(i int) int { return i * i }); !slices.Equal(got, []int{0, 1, 4, 9}) {
		t.Errorf("Made: %v", got)
	}
	if got := Indices(3); !slices.Equal(got, []int{0, 1, 2}) {
		t.Errorf("Indices: %v", got)
	}
	list := []int{3, 1, 4, 1, 5, 9, 2, 6}
	if got := Where(list, even); !slices.Equal(got, []int{4, 2, 6}) || !slices.Equal(list[:3], []int{3, 1, 4}) {
		t.Errorf("Where: %v, and the list is %v", got, list)
	}
	if got := Where(list, func(n int) bool { return n > 9 }); got != nil {
		t.Errorf("Where none is wanted: %v", got)
	}
	if got := Count(list, even); got != 3 {
		t.Errorf("Count: %d, want 3", got)
	}
}

// A value stands in a list once, and every pick of several lists comes once, the last list running fastest.
func TestWithAndCombinations(t *testing.T) {
	one := []string{"a", "b"}
	if got := With(one, "a"); !slices.Equal(got, one) {
		t.Errorf("%q", got)
	}
	if got := With(one, "c"); !slices.Equal(got, []string{"a", "b", "c"}) {
		t.Errorf("%q", got)
	}
	got := Combinations([][]int{{1, 2}, {3}, {4, 5}})
	want := [][]int{{1, 3, 4}, {1, 3, 5}, {2, 3, 4}, {2, 3, 5}}
	if !slices.EqualFunc(got, want, slices.Equal) || len(Combinations[int](nil)) != 1 {
		t.Errorf("%v", got)
	}
}
