package plan

import (
	"context"
	"math/rand/v2"

	"breakbook/models/odds"
)

// Tried is the plan with the Gain that series of perLevel specimens of each level show, drawn from the truth that it
// is made for and judged as a fit of the odds judges the pair told least: by the likelihood ratio, with Firth's
// penalty where levels separate. A series that cannot be fitted shows nothing. The same seed gives the same. Errors
// are those of At and ctx's own.
func (o Odds) Tried(ctx context.Context, perLevel int, seed uint64) (Odds, error) {
	return o.tried(ctx, perLevel, seed, MostTried)
}

func (o Odds) tried(ctx context.Context, perLevel int, seed uint64, most int) (Odds, error) {
	if err := o.check(); err != nil {
		return o, err
	}
	rows := o.rows()
	each, pair, err := rows.noncentrality(o, o.To)
	if err != nil {
		return o, err
	}
	chance := rows.chances(o, pair, o.To)
	d := rows.drawn(o.Levels, pair, perLevel)
	series := seriesTried(most, perLevel*o.Levels, len(rows.x[0]))
	share, err := shareShown(ctx, series, seed, func() func(draw *rand.Rand) bool {
		s := odds.Sample{Columns: d.columns(rows.madeRows), Mode: make([]int, perLevel*o.Levels), Modes: 2}
		return func(draw *rand.Rand) bool {
			d.each(rows.madeRows, draw, s.Columns, func(at, row int) {
				s.Mode[at] = 0
				if draw.Float64() < chance[row] {
					s.Mode[at] = 1
				}
			})
			f, err := odds.Solve(ctx, s)
			if err != nil {
				return false
			}
			p, err := f.Without(ctx, []int{1})
			return err == nil && p < o.alpha()
		}
	})
	if err != nil {
		return o, err
	}
	o.Gain = gainFor(o.alpha(), each, perLevel, share)
	return o, nil
}

// TriedLeast is the smallest size whose Chance is the wanted one or more, with the Gain found there or at a size
// next to it: fewer series find about where that is. Errors are those of Least and Tried.
func (o Odds) TriedLeast(ctx context.Context, seed uint64) (Odds, error) {
	o.Gain = 0
	return leastTried(o, func(o Odds, n, most int) (Odds, error) { return o.tried(ctx, n, seed, most) })
}

// leastTried looks for the smallest size of a plan by drawing series at the sizes that it gives.
func leastTried[P interface{ Least() (Size, error) }](p P, tried func(p P, n, most int) (P, error)) (P, error) {
	size, err := p.Least()
	for range 3 {
		if err != nil {
			return p, err
		}
		if p, err = tried(p, size.PerLevel, MostTried/5); err != nil {
			return p, err
		}
		last := size.PerLevel
		if size, err = p.Least(); err == nil && size.PerLevel == last {
			break
		}
	}
	if err != nil {
		return p, err
	}
	return tried(p, size.PerLevel, MostTried)
}
