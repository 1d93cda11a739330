package compare

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"

	"breakbook/models/parallel"
	"breakbook/models/resample"
)

const (
	defaultTimes = 99_999
	// tie is how far below what was observed, relatively, a reshuffle still counts as
	// equal to it; zeroT is the t value that is rounding of zero.
	tie   = 1e-9
	zeroT = 1e-12
)

// shuffles are the largest |t| of all arrangements looked at, in order once finished, and
// how many explained at least as much as was observed.
type shuffles struct {
	largest  []float64
	every    bool
	overall  Overall
	explains int
}

// take counts one arrangement in.
func (s *shuffles) take(t float64, explains bool) {
	s.largest = append(s.largest, t)
	if explains {
		s.explains++
	}
}

// dealing begins a block of so many arrangements; each call of next deals one and gives
// its largest |t| and how much it explains.
type dealing func(draw *rand.Rand, pieces int) (next func() (t, explained float64))

// draw looks at o.Times arrangements, in blocks of the given size; start makes what one
// core deals with. least is what counts as explaining as much as was observed.
func (s *shuffles) draw(ctx context.Context, o Options, block int, least float64, start func() dealing) {
	times := o.Times
	if times <= 0 {
		times = defaultTimes
	}
	s.largest = make([]float64, times)
	explains := make([]bool, times)
	w := resample.Work{Seed: o.Seed, Pieces: times, Block: block, Progress: o.Progress}
	parallel.Heed(resample.Run(ctx, w, func() func(*rand.Rand, int, int) error {
		begin := start()
		return func(draw *rand.Rand, from, to int) error {
			next := begin(draw, to-from)
			for i := from; i < to; i++ {
				parallel.Look(ctx)
				t, explained := next()
				s.largest[i], explains[i] = t, explained >= least
			}
			return nil
		}
	}))
	for _, e := range explains {
		if e {
			s.explains++
		}
	}
}

// finish puts the largest |t| in order and fills in P of the test of all.
func (s *shuffles) finish(ctx context.Context, all Overall) *shuffles {
	parallel.Sort(ctx, s.largest)
	all.P = s.p(s.explains)
	s.overall = all
	return s
}

// p is the probability where b arrangements do as well as what was observed.
func (s *shuffles) p(b int) float64 {
	if s.every {
		return float64(b) / float64(len(s.largest))
	}
	return float64(b+1) / float64(len(s.largest)+1)
}

// tail is the probability of a largest |t| of at least t.
func (s *shuffles) tail(t float64) float64 {
	at, _ := slices.BinarySearch(s.largest, math.Min(t*(1-tie), math.MaxFloat64)-zeroT)
	return s.p(len(s.largest) - at)
}

// critical is the largest |t| seen whose probability is more than alpha: a pair's |t|, which
// need not be the largest of any arrangement, is improbable exactly when it is above. +Inf
// where even the largest of all is as probable as that.
func (s *shuffles) critical(alpha float64) float64 {
	at := len(s.largest) - 1
	if s.tail(s.largest[at]) > alpha {
		return math.Inf(1)
	}
	for at > 0 && s.tail(s.largest[at]) <= alpha {
		at--
	}
	return s.largest[at]
}
