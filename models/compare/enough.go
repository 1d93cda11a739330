package compare

import (
	"context"
	"math"

	"gonum.org/v1/gonum/mathext"

	"breakbook/models/dist"
)

// mostSpecimens is the largest number a level that Enough names.
const mostSpecimens = 10_000

// planner finds how many specimens a level would settle differences of one family.
type planner struct {
	family               family
	options              Options
	now                  float64                 // the present degrees of freedom
	critical, critical90 float64                 // with those
	df                   func(n float64) float64 // degrees of freedom with n specimens a level
	known                map[float64]criticals   // by n
}

// criticals are a family's critical values at the user's level and at 90 %.
type criticals struct{ level, ninety float64 }

// enough is the smallest whole number a level that settles a difference between two levels
// whose specimens have the given sd: both conditions of Difference.Enough. together is that of
// Difference.Together, as one of so many. 0 where there is no worth or it is over mostSpecimens.
func (p *planner) enough(ctx context.Context, sd float64, of int) (one, together int) {
	if !(p.options.Worth > 0) || p.options.Unplanned {
		return 0, 0
	}
	least := 2.0
	for p.df(least) < 1 {
		least++
	}
	ratio := p.options.Worth / sd
	within := func(chance float64) func(n float64) bool {
		return func(n float64) bool { return p.settled(ctx, n, ratio*math.Sqrt(n/2), chance) }
	}
	guess := p.about(least, ratio, p.options.Chance)
	one = leastWhole(int(least), guess, within(p.options.Chance))
	if of < 2 || one == 0 {
		return one, one
	}
	all := 1 - (1-p.options.Chance)/float64(of)
	return one, leastWhole(one, float64(one)*p.about(least, ratio, all)/guess, within(all))
}

// about is about how many specimens a level, at least so many, settle a difference whose worth is ratio of their sd:
// where to look first. The critical values with that many are taken to be those of one t with the chance that the
// present have.
func (p *planner) about(least, ratio, inside float64) float64 {
	df := p.df(math.Max(least, 2*p.sized(ratio, inside, p.critical, p.critical90)))
	then := func(critical float64) float64 { return -dist.TQuantile(dist.TwoSidedT(critical, p.now)/2, df) }
	return 2 * p.sized(ratio, inside, then(p.critical), then(p.critical90))
}

// sized is about how many times a standard error of ratio⁻¹ must be squared away for
// both conditions, by the normal distribution and these critical values.
func (p *planner) sized(ratio, inside, critical, critical90 float64) float64 {
	show := critical + mathext.NormalQuantile(p.options.Chance)
	rule := critical90 + mathext.NormalQuantile((1+inside)/2)
	need := math.Max(show, rule) / ratio
	return need * need
}

// settled reports whether n specimens a level, with which worth is limit standard errors, have
// the chance to show a difference of worth, and the chance inside to rule one out.
func (p *planner) settled(ctx context.Context, n, limit, inside float64) bool {
	df, chance := p.df(n), p.options.Chance
	c, ok := p.known[n]
	if !ok {
		f := p.family.planned(df)
		c = criticals{f.critical(ctx, 1-p.options.Confidence), f.critical(ctx, 0.10)}
		p.known[n] = c
	}
	return dist.PassingChance(c.level, df, limit) >= chance && dist.InsideChance(limit, c.ninety, df) >= inside
}

// leastWhole is the smallest n from least to mostSpecimens for which settled holds, once and
// for all after it; the search spreads out from guess. 0 where there is none.
func leastWhole(least int, guess float64, settled func(n float64) bool) int {
	low, high := least-1, mostSpecimens+1 // not settled, settled or out of reach
	first := int(math.Ceil(math.Min(guess, mostSpecimens)))
	for at, stride := max(least, first), 1; high-low > 1; stride *= 2 {
		if at <= low || at >= high {
			at = low + (high-low)/2
		}
		if settled(float64(at)) {
			high = at
			at -= stride
		} else {
			low = at
			at += stride
		}
	}
	if high > mostSpecimens {
		return 0
	}
	return high
}
