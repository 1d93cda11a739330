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
