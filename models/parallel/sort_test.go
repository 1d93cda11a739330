package parallel

import (
	"cmp"
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

func TestSortingIsThatOfTheLibrary(t *testing.T) {
	draw := rand.New(rand.NewPCG(1, 2))
	for _, n := range []int{0, 1, 2, 1000, 1 << 15, 1<<15 + 1, 3 << 15, 200_001} {
		values := make([]float64, n)
		for i := range values {
			values[i] = float64(draw.IntN(n/3 + 1))
		}
		want := slices.Clone(values)
		slices.Sort(want)
		order, wantOrder := make([]int, n), make([]int, n)
		for i := range order {
			order[i], wantOrder[i] = i, i
		}
		by := func(a, b int) int { return cmp.Compare(values[a], values[b]) }
		SortFunc(t.Context(), order, by)
		slices.SortStableFunc(wantOrder, by)
		if !slices.Equal(order, wantOrder) {
			t.Errorf("%d in order: not the stable order", n)
		}
		Sort(t.Context(), values)
		if !slices.Equal(values, want) {
			t.Errorf("%d sorted: not in order", n)
		}
	}
}

// Few are compared and many dealt out by their digits, to the same order: of either sign, however
// small or large, infinite or missing, and whole numbers too.
func TestAllNumbersAreSorted(t *testing.T) {
	draw := rand.New(rand.NewPCG(3, 4))
	odd := []float64{math.NaN(), math.Inf(-1), math.Inf(1), 0, math.SmallestNonzeroFloat64, -math.MaxFloat64, 1,
		1 + 1e-15}
	for _, n := range []int{100, 1 << 10, 1<<10 + 1, 20_000} {
		values, whole := make([]float64, n), make([]int, n)
		for i := range values {
			values[i] = math.Ldexp(draw.NormFloat64(), draw.IntN(200)-100)
			if i%10 == 0 {
				values[i] = odd[i/10%len(odd)]
			}
			whole[i] = draw.IntN(1<<54) - 1<<53
		}
		want, wantWhole := slices.Clone(values), slices.Clone(whole)
		slices.Sort(want)
		slices.Sort(wantWhole)
		Sort(t.Context(), values)
		if slices.CompareFunc(values, want, cmp.Compare[float64]) != 0 {
			t.Errorf("%d numbers: not in order", n)
		}
		Sort(t.Context(), whole)
		if !slices.Equal(whole, wantWhole) {
			t.Errorf("%d whole numbers: not in order", n)
		}
	}
}

func TestSortingStopsWithTheContext(t *testing.T) {
	ctx, stop := context.WithCancel(t.Context())
	values := make([]int, 1_000_000)
	for i := range values {
		values[i] = i * 7919 % 1_000_003
	}
	asked := 0
	work := func() (err error) {
		defer Catch(&err)
		SortFunc(ctx, values[:20_000], func(a, b int) int {
			if asked++; asked == 1000 {
				stop()
			}
			return cmp.Compare(a, b)
		})
		Sort(ctx, values)
		return nil
	}
	if err := work(); !errors.Is(err, context.Canceled) {
		t.Errorf("a sort ended although its context was done: %v", err)
	}
}
