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
		if r := 12 * sum / n; !(math.Abs(r) <= 4/math.Sqrt(n)) {
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

// givenBits is a source of the bits it was given, and counts how many it gave.
type givenBits struct {
	bits  []uint64
	given int
}

func (s *givenBits) Uint64() uint64 {
	s.given++
	return s.bits[s.given-1]
}

// Of 2³² numbers of bits one is too many for three places alike (2³² = 3·1431655765 + 1): that whose product with 3
// ends in 32 zeros, which is 0 itself, is drawn again, and no other. The halves of a draw are used one after the other,
// the lower first.
func TestPickDrawsAgainWhereItWouldFavour(t *testing.T) {
	const least = 0xAAAAAAAB // times 3 it is 2·2³² + 1: the least that is not drawn again, at the third place
	for _, c := range []struct {
		bits  []uint64
		m     int
		want  []float64
		given int
	}{
		{[]uint64{least << 32}, 1, []float64{2, 1, 0}, 1},           // 0, then the third of three
		{[]uint64{least}, 1, []float64{2, 1, 0}, 1},                 // at once
		{[]uint64{0, least}, 1, []float64{2, 1, 0}, 2},              // both halves of the first are 0
		{[]uint64{1 | 1<<63}, 2, []float64{0, 2, 1}, 1},             // the first of three, then the second of two
		{[]uint64{least | 1<<32, 1}, 3, []float64{2, 1, 0}, 2},      // of one place too a half is used
		{[]uint64{least | 1<<63, 1}, 3, []float64{2, 0, 1}, 2},      // the third of three, then the second of two
		{[]uint64{0x55555556 | 1<<63, 1}, 3, []float64{1, 2, 0}, 2}, // the second of three, then the second of two
	} {
		values, source := []float64{0, 1, 2}, &givenBits{bits: c.bits}
		Pick(rand.New(source), values, c.m)
		if !slices.Equal(values, c.want) || source.given != c.given {
			t.Errorf("%x: %v after %d draws, want %v after %d", c.bits, values, source.given, c.want, c.given)
		}
	}
}

// Each block keeps its own values; whatever stands in no block stays as it was.
func TestWithinStaysInItsBlock(t *testing.T) {
	from := []float64{10, 20, 11, 21, 12, 99, 13}
	blocks := [][]int{{0, 2, 4, 6}, {1, 3}}
	to, room := []float64{0, 0, 0, 0, 0, 5, 0}, make([]float64, 4)
	draw, orders := Stream(1, 0), map[[2]float64]int{}
	for range 400 {
		Within(draw, blocks, from, to, room)
		tens := []float64{to[0], to[2], to[4], to[6]}
		if slices.Sort(tens); !slices.Equal(tens, []float64{10, 11, 12, 13}) || to[1]+to[3] != 41 || to[5] != 5 {
			t.Fatalf("drawn %v", to)
		}
		orders[[2]float64{to[0], to[1]}]++
	}
	for order, n := range orders { // eight alike: 50 of 400, with sd 6.6
		if len(orders) != 8 || n < 24 || n > 76 {
			t.Errorf("%v begins %d of 400, %d beginnings", order, n, len(orders))
		}
	}
}

// Every block draws from the start of its own stream, a block of none being one of one piece, and progress comes to
// all pieces at the end.
func TestBlocksHaveTheirStreams(t *testing.T) {
	for _, c := range []struct{ block, size int }{{3, 3}, {1, 1}, {0, 1}} {
		got := draws(t, 5, 8, c.block)
		for i, x := range got {
			stream := Stream(5, i/c.size)
			for range i % c.size {
				stream.Float64()
			}
			if want := stream.Float64(); x != want {
				t.Errorf("blocks of %d, piece %d: %v, want %v", c.block, i, x, want)
			}
		}
	}
	var most, calls atomic.Int64
	err := Run(context.Background(), Work{Pieces: 10, Block: 4, Progress: func(done, total int) {
		calls.Add(1)
		for old := most.Load(); int64(done) > old && !most.CompareAndSwap(old, int64(done)); old = most.Load() {
		}
		if total != 10 {
			t.Errorf("%d of %d", done, total)
		}
	}}, func() func(*rand.Rand, int, int) error { return func(*rand.Rand, int, int) error { return nil } })
	if err != nil || most.Load() != 10 || calls.Load() != 3 {
		t.Errorf("%d done, told %d times (%v)", most.Load(), calls.Load(), err)
	}
}

// A few milliseconds of work, 4 000 000 nanoseconds, are a block; never more than a thousand pieces, nor less than one.
func TestBlockFor(t *testing.T) {
	for cost, want := range map[int]int{0: 1000, 1: 1000, 4000: 1000, 8000: 500, 4_000_000: 1, 3_000_000: 1,
		2_000_000: 2, 10_000_000: 1} {
		if got := BlockFor(cost); got != want {
			t.Errorf("%d a piece: blocks of %d, want %d", cost, got, want)
		}
	}
}

func TestRunStopsWhenCancelled(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	var reached atomic.Int64
	err := Run(ctx, Work{Pieces: 1 << 30, Block: 100, Progress: func(done, total int) {
		if reached.Store(int64(done)); done >= 1000 {
			cancel()
		}
	}}, func() func(*rand.Rand, int, int) error {
		return func(*rand.Rand, int, int) error { time.Sleep(time.Millisecond); return nil }
	})
	if !errors.Is(err, context.Canceled) || reached.Load() < 1000 || reached.Load() == 1<<30 {
		t.Errorf("%v after %d pieces", err, reached.Load())
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
