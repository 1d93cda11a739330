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
	critical, critical90 float64                 // with the present specimens
	df                   func(n float64) float64 // degrees of freedom with n specimens a level
	known                map[float64]criticals   // by n
}

// criticals are a family's critical values at the user's level and at 90 %.
type criticals struct{ level, ninety float64 }

// enough is the smallest whole number a level that settles a difference between two levels
// whose specimens have the given sd: both conditions of Difference.Enough. together is that of
// Difference.Together, as one of so many. 0 where there is no worth or it is over mostSpecimens.
func (p *planner) enough(ctx context.Context, sd float64, of int) (one, together int, err error) {
	if !(p.options.Worth > 0) {
		return 0, 0, nil
	}
	least := 2.0
	for p.df(least) < 1 {
		least++
	}
	ratio := p.options.Worth / sd
	within := func(chance float64) func(n float64) (bool, error) {
		return func(n float64) (bool, error) { return p.settled(ctx, n, ratio*math.Sqrt(n/2), chance) }
	}
	guess := int(math.Min(mostSpecimens, math.Ceil(2*p.sized(ratio))))
	if one, err = leastWhole(int(least), guess, within(p.options.Chance)); err != nil || of < 2 || one == 0 {
		return one, one, err
	}
	together, err = leastWhole(one, one, within(1-(1-p.options.Chance)/float64(of)))
	return one, together, err
}

// sized is about how many times a standard error of ratio⁻¹ must be squared away for
// both conditions, by the normal distribution and the present critical values.
func (p *planner) sized(ratio float64) float64 {
	show := p.critical + mathext.NormalQuantile(p.options.Chance)
	inside := p.critical90 + mathext.NormalQuantile((1+p.options.Chance)/2)
	need := math.Max(show, inside) / ratio
	return need * need
}

// settled reports whether n specimens a level, with which worth is limit standard errors, have
// the chance to show a difference of worth, and the chance inside to rule one out.
func (p *planner) settled(ctx context.Context, n, limit, inside float64) (bool, error) {
	df, chance := p.df(n), p.options.Chance
	c, ok := p.known[n]
	if !ok {
		var err error
		f := p.family.planned(df)
		if c.level, err = f.critical(ctx, 1-p.options.Confidence); err != nil {
			return false, err
		}
		if c.ninety, err = f.critical(ctx, 0.10); err != nil {
			return false, err
		}
		p.known[n] = c
	}
	return dist.PassingChance(c.level, df, limit) >= chance && dist.InsideChance(limit, c.ninety, df) >= inside, nil
}

// leastWhole is the smallest n from least to mostSpecimens for which settled holds, once and
// for all after it; the search spreads out from guess. 0 where there is none.
func leastWhole(least, guess int, settled func(n float64) (bool, error)) (int, error) {
	low, high := least-1, mostSpecimens+1 // not settled, settled or out of reach
	for at, stride := max(least, min(guess, mostSpecimens)), 1; high-low > 1; stride *= 2 {
		if at <= low || at >= high {
			at = low + (high-low)/2
		}
		ok, err := settled(float64(at))
		if err != nil {
			return 0, err
		}
		if ok {
			high = at
			at -= stride
		} else {
			low = at
			at += stride
		}
	}
	if high > mostSpecimens {
		return 0, nil
	}
	return high, nil
}
