package planning

import (
	"context"
	"fmt"
	"io"
	"math"

	"breakbook/cmd/measure/counted"
	"breakbook/models/plan"
	"breakbook/models/resample"
	"breakbook/models/strength"
)

// untilCase is a truth about how joints break: ln strength of the glue at two levels or more, of what else gives way,
// and a density that the glue's strength goes with.
type untilCase struct {
	name        string
	d           strength.Distribution
	levels      int
	spread      float64
	other       float64 // how much stronger what else gives way is, on the ln scale; 0: nothing else gives way
	otherSpread float64
	density     float64 // effect per sd
	more        float64 // the difference planned for, as a share
}

var untilCases = []untilCase{
	{"nothing else gives way", strength.Weibull, 2, 0.15, 0, 0, 0, 0.10},
	{"the rest 16 % stronger", strength.Weibull, 2, 0.15, 0.15, 0.15, 0, 0.10},
	{"the rest 10 % weaker", strength.Weibull, 2, 0.15, -0.1, 0.15, 0, 0.15},
	{"density; the rest as strong", strength.Weibull, 2, 0.12, 0, 0.2, 0.1, 0.10},
	{"log-normal; the rest as strong", strength.Lognormal, 2, 0.15, 0, 0.15, 0, 0.12},
	{"three levels", strength.Weibull, 3, 0.15, 0.1, 0.2, 0, 0.15},
	{"the rest as strong", strength.Weibull, 2, 0.15, 0.001, 0.15, 0, 0.40},
	{"the rest as strong", strength.Weibull, 2, 0.15, 0.001, 0.15, 0, 2},
	{"three levels", strength.Weibull, 3, 0.15, 0.1, 0.2, 0, 1},
}

// plan is the truth as a plan takes it, from a series of 40 specimens a level.
func (c untilCase) plan(seed uint64, at int) plan.Breaks {
	r := resample.Stream(seed, at)
	b := plan.Breaks{Distribution: c.d, Levels: c.levels, Effect: make([]float64, c.levels), Spread: c.spread,
		OtherEffect: make([]float64, c.levels), OtherSpread: c.otherSpread, Delta: math.Log1p(c.more), Confidence: 0.95,
		Wanted: 0.80}
	var density []float64
	for l := range c.levels {
		b.Effect[l] = 0.1 * float64(l)
		for range 40 {
			x := r.NormFloat64()
			density = append(density, x)
			b.Level, b.Place = append(b.Level, l), append(b.Place, 6+c.density*x)
			if c.otherSpread > 0 {
				b.OtherPlace = append(b.OtherPlace, 6+c.other)
			}
		}
	}
	if c.density != 0 {
		b.Others = [][]float64{density}
	}
	return b
}

// untilPart plans the number of specimens for the strength of one failure mode, and counts in how many series of so
// many the fit of that strength tells the two levels apart.
func untilPart(ctx context.Context, out io.Writer, series int, seed uint64) error {
	fmt.Fprintf(out, "%d series a row; 80 %% asked for at 95 %% confidence; in brackets the simulation error (2 sd)\n",
		series)
	fmt.Fprintf(out, "%-31s %7s %10s %16s %10s %16s %10s\n", "truth", "more", "share seen", "n by the formula",
		"n a level", "chance promised", "came true")
	return rows(ctx, out, len(untilCases), series, seed, untilLine)
}

// untilLine is the row of one truth.
func untilLine(ctx context.Context, i, series int, seed uint64) (string, error) {
	c := untilCases[i]
	b := c.plan(seed, i)
	formula, err := b.Least()
	if err != nil {
		return "", err
	}
	if b, err = b.TriedLeast(ctx, seed); err != nil {
		return "", err
	}
	size, err := b.Least()
	if err != nil {
		return "", err
	}
	share, first, second, err := b.Seen()
	if err != nil {
		return "", err
	}
	kept, err := c.cameTrue(ctx, b, first, second, size.PerLevel, series, seed+uint64(1000*(i+1)))
	if err != nil {
		return "", err
	}
	return fmt.Sprintf("%-31s %5.0f %% %10.2f %16d %10d %16.4f %10.4f (%.4f)", c.name, 100*c.more, share,
		formula.PerLevel, size.PerLevel, size.Chance, kept, 2*math.Sqrt(kept*(1-kept)/float64(series))), nil
}

// cameTrue is the share of series in which the pair planned for is told apart.
func (c untilCase) cameTrue(ctx context.Context, b plan.Breaks, first, second, n, series int, seed uint64) (float64,
	error) {
	order := []int{first, second, 3 - first - second}[:c.levels]
	own := make([][]int, c.levels)
	for s, l := range b.Level {
		own[l] = append(own[l], s)
	}
	alpha := 0.05 / float64(c.levels*(c.levels-1)/2)
	return counted.Share(ctx, series, func(ctx context.Context, at int) (bool, error) {
		r := resample.Stream(seed, at)
		s := strength.Sample{Columns: make([][]float64, c.levels)}
		var x []float64
		draw := func() float64 { // a standard strength
			if c.d == strength.Lognormal {
				return r.NormFloat64()
			}
			return math.Log(r.ExpFloat64())
		}
		for place, l := range order {
			for range n {
				from := own[l][r.IntN(len(own[l]))]
				glue := b.Place[from] + b.Effect[l] + c.spread*draw()
				if place == 1 {
					glue += b.Effect[first] + b.Delta - b.Effect[l]
				}
				rest := math.Inf(1)
				if c.otherSpread > 0 {
					rest = 6 + c.other + c.otherSpread*draw()
				}
				s.Load, s.Ended = append(s.Load, math.Exp(min(glue, rest))), append(s.Ended, glue < rest)
				for k := range s.Columns {
					v := 0.0
					if k == 0 || k == place {
						v = 1
					}
					s.Columns[k] = append(s.Columns[k], v)
				}
				if len(b.Others) > 0 {
					x = append(x, b.Others[0][from])
				}
			}
		}
		if x != nil {
			s.Columns = append(s.Columns, x)
		}
		f, err := strength.Solve(ctx, s, c.d)
		if err != nil {
			return false, ctx.Err() // a series without breaks enough tells nothing
		}
		pick := make([]float64, len(s.Columns))
		pick[1] = 1
		p, err := f.Chance(ctx, pick)
		return err == nil && p < alpha, ctx.Err()
	})
}
