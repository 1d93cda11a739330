package parallel

import (
	"cmp"
	"context"
	"errors"
	"math/rand/v2"
	"slices"
	"testing"
)

func TestALookLeavesTheWorkAtItsEnd(t *testing.T) {
	wanted := errors.New("interrupted")
	ctx, stop := context.WithCancelCause(t.Context())
	done := 0
	work := func() (err error) {
		defer Catch(&err)
		for i := range 10 * Breath {
			if i == Breath+1 {
				stop(wanted)
			}
			LookAt(ctx, i)
			done++
		}
		return nil
	}
	if err := work(); !errors.Is(err, wanted) || done != 2*Breath {
		t.Errorf("ended with %v after %d rows", err, done)
	}
}

func TestHeedLeavesTheWorkAtAnError(t *testing.T) {
	wanted, went := errors.New("interrupted"), 0
	work := func(given error) (err error) {
		defer Catch(&err)
		Heed(given)
		went++
		return nil
	}
	if err := work(wanted); !errors.Is(err, wanted) || went != 0 {
		t.Errorf("ended with %v, %d went on", err, went)
	}
	if err := work(nil); err != nil || went != 1 {
		t.Errorf("no error: %v, %d went on", err, went)
	}
}

func TestCatchLetsOtherPanicsPass(t *testing.T) {
	defer func() {
		if r := recover(); r != "a slip" {
			t.Errorf("recovered %v", r)
		}
	}()
	func() (err error) {
		defer Catch(&err)
		panic("a slip")
	}()
}

func TestALookInAWorkerIsTheErrorOfAll(t *testing.T) {
	ctx, stop := context.WithCancelCause(t.Context())
	wanted := errors.New("interrupted")
	err := Each(ctx, 100, func(ctx context.Context, i int) error {
		stop(wanted)
		Look(ctx)
		return nil
	})
	if !errors.Is(err, wanted) {
		t.Errorf("ended with %v", err)
	}
}

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

func TestProgressIsCarried(t *testing.T) {
	said := 0
	ctx := WithProgress(t.Context(), func(done, total int) { said = 100*done + total })
	ProgressOf(ctx)(3, 7)
	ProgressOf(WithProgress(ctx, nil))(4, 8)
	ProgressOf(t.Context())(5, 9)
	if said != 307 {
		t.Errorf("told %d", said)
	}
}
