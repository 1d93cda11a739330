package counted

import (
	"context"
	"errors"
	"testing"
)

// What came of series is in their order, adds up in it, and the first error in it ends the count.
func TestCounts(t *testing.T) {
	half := func(_ context.Context, i int) (float64, error) { return float64(i) / 2, nil }
	all, err := Each(t.Context(), 5, half)
	if err != nil || len(all) != 5 || all[3] != 1.5 {
		t.Errorf("%v: %v", all, err)
	}
	sum, err := Sum(t.Context(), 5, func(sum *float64, of float64) { *sum = *sum*10 + of }, half)
	if err != nil || sum != 617 {
		t.Errorf("the sum is %v: %v", sum, err)
	}
	share, err := Share(t.Context(), 8, func(_ context.Context, i int) (bool, error) { return i < 2, nil })
	if err != nil || share != 0.25 {
		t.Errorf("the share is %v: %v", share, err)
	}
	first, second := errors.New("first"), errors.New("second")
	if _, err := Each(t.Context(), 9, func(_ context.Context, i int) (int, error) {
		return i, map[int]error{3: first, 7: second}[i]
	}); !errors.Is(err, first) {
		t.Error(err)
	}
}
