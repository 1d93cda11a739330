package compare

import (
	"context"
	"math"

	"breakbook/models/parallel"
	"breakbook/models/verdict"
)

// One is the answer about one difference on its own.
type One struct {
	Range, Ninety verdict.Range // at o.Confidence and at 90 %
	P             float64
	Answer        verdict.Answer
	// Times is, for CannotTell, how many times as many specimens would settle it, the
	// standard error falling as 1/√n and df growing as n: both conditions of
	// Difference.Enough. 0 where unknown or over 10 000; below 1 where this series was unlucky.
	Times float64
}

// Single answers about one difference by the t distribution; of is how many differences
// are reported together, adjusted for by Bonferroni's inequality (1 for one alone). A standard
// error or df that is not positive, or a level outside (0, 1), gives NaN and CannotTell. It is
// parallel.Stopped where ctx ends.
func Single(ctx context.Context, value, se, df float64, o Options, of int) One {
	nan := verdict.Range{Low: math.NaN(), High: math.NaN()}
	o, err := o.filled()
	if err != nil || !(se > 0) || !(df > 0) || of < 1 {
		return One{Range: nan, Ninety: nan, P: math.NaN()}
	}
	f := bonferroni{float64(of), df}
	critical, critical90 := f.critical(ctx, 1-o.Confidence), f.critical(ctx, 0.10)
	one := One{
		Range:  verdict.Range{Low: value - critical*se, High: value + critical*se},
		Ninety: verdict.Range{Low: value - critical90*se, High: value + critical90*se},
	}
	one.P, _ = f.tail(ctx, math.Abs(value/se))
	one.Answer = verdict.Decide(one.Range, one.Ninety, o.Worth)
	if one.Answer == verdict.CannotTell {
		one.Times = Times(ctx, se, df, o, of)
	}
	return one
}

// Times is One.Times of a difference with this standard error, whatever decided its answer: where
// that is an interval by the likelihood, se is what its length comes to.
func Times(ctx context.Context, se, df float64, o Options, of int) float64 {
	o, err := o.filled()
	if err != nil || !(se > 0) || math.IsInf(se, 1) || !(df > 0) || of < 1 || !(o.Worth > 0) || o.Unplanned {
		return 0
	}
	f := bonferroni{float64(of), df}
	plan := &planner{family: f, options: o, df: func(times float64) float64 { return df * times },
		critical: f.critical(ctx, 1-o.Confidence), critical90: f.critical(ctx, 0.10), known: map[float64]criticals{}}
	return plan.times(ctx, o.Worth/se)
}

// times is the smallest number of times the present specimens that settles a difference
// whose worth is ratio standard errors now, to one part in a thousand.
func (p *planner) times(ctx context.Context, ratio float64) float64 {
	settled := func(t float64) bool {
		parallel.Look(ctx)
		return p.settled(ctx, t, ratio*math.Sqrt(t), p.options.Chance)
	}
	const most = 10_000
	high := math.Min(most, p.sized(ratio, p.options.Chance, p.critical, p.critical90))
	for !settled(high) {
		if high >= most {
			return 0
		}
		high = math.Min(most, 1.5*high)
	}
	low := high / 1.5
	for settled(low) {
		low, high = low/1.5, low
	}
	for high > 1.001*low {
		if mid := math.Sqrt(low * high); settled(mid) {
			high = mid
		} else {
			low = mid
		}
	}
	return high
}
