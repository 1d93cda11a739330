package resample

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"sync/atomic"
	"testing"
	"time"
)

// draws is one number a piece, as many to a block as said.
func draws(t *testing.T, seed uint64, pieces, block int) []float64 {
	t.Helper()
	out := make([]float64, pieces)
	err := Run(context.Background(), Work{Seed: seed, Pieces: pieces, Block: block},
		func() func(*rand.Rand, int, int) error {
			return func(draw *rand.Rand, from, to int) error {
				for i := from; i < to; i++ {
					out[i] = draw.Float64()
				}
				return nil
			}
		})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func TestOneCoreGivesWhatManyGive(t *testing.T) {
	many := draws(t, 7, 10_007, 100)
	before := runtime.GOMAXPROCS(1)
	one := draws(t, 7, 10_007, 100)
	runtime.GOMAXPROCS(before)
	if !slices.Equal(one, many) {
		t.Error("the draws depend on the number of cores")
	}
	other := draws(t, 8, 10_007, 100)
	same := 0
	for i := range many {
		if many[i] == other[i] {
			same++
		}
	}
	if same > 0 {
		t.Errorf("seeds 7 and 8 share %d of their draws", same)
	}
}

func TestStreamsAreUnrelated(t *testing.T) {
	const n = 20_000
	for block := range 5 {
		a, b := Stream(3, block), Stream(3, block+1)
		sum := 0.0
		for range n {
			sum += (a.Float64() - 0.5) * (b.Float64() - 0.5)
		}
		// A correlation of n unrelated pairs has sd 1/√n.
		if r := 12 * sum / n; math.Abs(r) > 4/math.Sqrt(n) {
			t.Errorf("streams %d and %d: correlation %g", block, block+1, r)
		}
	}
}

// Every choice in every order is drawn as often as any other, each run from the same start.
// Chi-square with 19 and 23 degrees of freedom passes these with chance 0.001 (Abramowitz &
// Stegun, table 26.8).
func TestPickDrawsEveryChoiceAlike(t *testing.T) {
	const runs = 60_000
	for _, c := range []struct {
		of, m, choices int
		most           float64
	}{{5, 2, 20, 43.820}, {4, 4, 24, 49.728}} {
		counts := map[[4]float64]int{}
		draw := Stream(1, 0)
		for range runs {
			values := []float64{0, 1, 2, 3, 4}[:c.of]
			Pick(draw, values, c.m)
			var choice [4]float64
			copy(choice[:], values[:c.m])
			counts[choice]++
		}
		chi, want := 0.0, float64(runs)/float64(c.choices)
		for _, n := range counts {
			chi += (float64(n) - want) * (float64(n) - want) / want
		}
		if len(counts) != c.choices || chi > c.most {
			t.Errorf("%d of %d: %d of %d choices, chi-square %g", c.m, c.of, len(counts), c.choices, chi)
		}
	}
}

func TestRunStopsWhenTold(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	var told atomic.Int64
	err := Run(ctx, Work{Pieces: 1 << 30, Block: 100, Progress: func(done, total int) {
		if told.Store(int64(done)); done >= 1000 {
			cancel()
		}
	}}, func() func(*rand.Rand, int, int) error {
		return func(*rand.Rand, int, int) error { time.Sleep(time.Millisecond); return nil }
	})
	if !errors.Is(err, context.Canceled) || told.Load() < 1000 || told.Load() == 1<<30 {
		t.Errorf("%v after %d pieces", err, told.Load())
	}
}

func TestRunGivesTheWorkersError(t *testing.T) {
	mine := errors.New("mine")
	err := Run(context.Background(), Work{Pieces: 100, Block: 1}, func() func(*rand.Rand, int, int) error {
		return func(_ *rand.Rand, from, _ int) error {
			if from == 50 {
				return mine
			}
			return nil
		}
	})
	if !errors.Is(err, mine) {
		t.Error(err)
	}
}

func TestEveryPieceIsDoneOnce(t *testing.T) {
	for _, c := range []struct{ pieces, block int }{{0, 10}, {1, 10}, {10, 10}, {11, 10}, {25, 0}} {
		done := make([]int, c.pieces)
		err := Run(context.Background(), Work{Pieces: c.pieces, Block: c.block},
			func() func(*rand.Rand, int, int) error {
				return func(_ *rand.Rand, from, to int) error {
					for i := from; i < to; i++ {
						done[i]++
					}
					return nil
				}
			})
		if err != nil || slices.ContainsFunc(done, func(n int) bool { return n != 1 }) {
			t.Errorf("%+v: %v %v", c, err, done)
		}
	}
}
