package compare

import (
	"context"
	"math"

	"breakbook/models/dist"
	"breakbook/models/halving"
)

// sameLevel is the level of each of the two one-sided tests; the interval is then of 90 %.
const sameLevel = 0.05

// Sameness is what two one-sided tests say of two levels.
type Sameness uint8

const (
	SameCannotTell Sameness = iota
	Same                    // the interval lies inside the margin
	Different               // it lies wholly outside
)

// Key is the answer in the words of the language.
func (s Sameness) Key() string { return [...]string{"cannot tell", "same", "different"}[s] }

// Margin is how far apart two levels may be and still be the same: from Low to High in the
// response's unit, or, where Share is over 0, second's mean from 1 − Share to 1 + Share
// times first's.
type Margin struct{ Low, High, Share float64 }

// SamePair is second minus first, each level with its own spread.
type SamePair struct {
	First, Second           int
	Diff, Low, High         float64 // the 90 % interval (Welch 1947)
	MarginLow, MarginHigh   float64 // in the response's unit
	Percent                 float64 // 100 × Diff ÷ first's mean; only for a Share, else NaN
	PercentLow, PercentHigh float64 // its 90 % interval as a ratio; NaN where first's mean is not clear of zero
	P                       float64 // the larger of the two one-sided p
	Answer                  Sameness
	Enough                  int // specimens a level with an 80 % chance of Same were the two alike; 0: over 10 000
}

// Sames tests every pair of levels, or each against level ref where ref is not negative,
// by two one-sided tests (Schuirmann 1987) without allowing for their number; with a Share
// on the ratio of the means (Sasabuchi 1988; Hauschke et al. 1992), each level keeping its
// own spread. Errors are those of Uneven, "no-spread" where a pair has none,
// or ctx's own.
func Sames(ctx context.Context, values [][]float64, ref int, margin Margin) ([]SamePair, error) {
	m, err := Uneven(ctx, values)
	if err != nil {
		return nil, err
	}
	var out []SamePair
	for i := range values {
		for j := range values {
			if err := ctx.Err(); err != nil {
				return nil, err
			}
			if ref < 0 && j <= i || ref >= 0 && (i != ref || j == ref) {
				continue
			}
			if m.Cov[i][i]+m.Cov[j][j] == 0 {
				return nil, &Error{"no-spread", i}
			}
			p, err := m.same(i, j, margin)
			if err != nil {
				return nil, err
			}
			out = append(out, p)
		}
	}
	return out, nil
}

// same tests one pair.
func (m Means) same(i, j int, margin Margin) (SamePair, error) {
	nan := math.NaN()
	p := SamePair{First: i, Second: j, Diff: m.Mean[j] - m.Mean[i], MarginLow: margin.Low, MarginHigh: margin.High,
		Percent: nan, PercentLow: nan, PercentHigh: nan}
	t, se, df := m.ratioT(i, j, 1)
	half := dist.TQuantile(1-sameLevel, df) * se
	p.Low, p.High = p.Diff-half, p.Diff+half
	low, lowDF := t-margin.Low/se, df
	high, highDF := t-margin.High/se, df
	if margin.Share > 0 {
		p.MarginLow, p.MarginHigh = -margin.Share*m.Mean[i], margin.Share*m.Mean[i]
		low, _, lowDF = m.ratioT(i, j, 1-margin.Share)
		high, _, highDF = m.ratioT(i, j, 1+margin.Share)
		p.Percent = 100 * p.Diff / m.Mean[i]
		p.PercentLow, p.PercentHigh = 100*(m.ratioEnd(i, j, -1)-1), 100*(m.ratioEnd(i, j, 1)-1)
	}
	critLow, critHigh := dist.TQuantile(1-sameLevel, lowDF), dist.TQuantile(1-sameLevel, highDF)
	p.P = math.Max(upperTail(low, lowDF), upperTail(-high, highDF))
	switch {
	case low > critLow && high < -critHigh:
		p.Answer = Same
	case low < -critLow || high > critHigh:
		p.Answer = Different
	default:
		var err error
		if p.Enough, err = m.enoughSame(i, j, math.Min(-p.MarginLow, p.MarginHigh)); err != nil {
			return p, err
		}
	}
	return p, nil
}

// ratioT is the t of second − c·first, its standard error, and Welch's degrees of freedom
// for it.
func (m Means) ratioT(i, j int, c float64) (t, se, df float64) {
	a, b := c*c*m.Cov[i][i], m.Cov[j][j]
	se = math.Sqrt(a + b)
	df = (a + b) * (a + b) / (a*a/(m.N[i]-1) + b*b/(m.N[j]-1))
	return (m.Mean[j] - c*m.Mean[i]) / se, se, df
}

// ratioEnd is the lower (side −1) or upper (side 1) end of the ratio's interval: the furthest
// ratio that a one-sided test does not rule out (Fieller 1954). NaN where there is none.
func (m Means) ratioEnd(i, j int, side float64) float64 {
	centre := m.Mean[j] / m.Mean[i]
	if !(m.Mean[i] > 0) {
		return math.NaN()
	}
	inside := func(c float64) bool {
		t, _, df := m.ratioT(i, j, c)
		return -side*t < dist.TQuantile(1-sameLevel, df)
	}
	near, step := centre, math.Max(math.Abs(centre), 1)/64
	far := centre + side*step
	for ; inside(far); far = centre + side*step {
		if near = far; step > 1e6*math.Max(math.Abs(centre), 1) {
			return math.NaN()
		}
		step *= 2
	}
	near, far = halving.Between(near, far, 60, func(c float64) bool { return !inside(c) })
	return (near + far) / 2
}

// enoughSame is the smallest number a level with which the 90 % interval lies inside ± margin
// with a chance of 80 %, were the means alike and the spreads as seen.
func (m Means) enoughSame(i, j int, margin float64) (int, error) {
	if !(margin > 0) {
		return 0, nil
	}
	variance := m.Cov[i][i]*m.N[i] + m.Cov[j][j]*m.N[j]
	guess := math.Min(mostSpecimens, math.Ceil(8.6*variance/(margin*margin))+2) // (1.645 + 1.282)²
	return leastWhole(2, int(guess), func(n float64) (bool, error) {
		df := 2 * (n - 1)
		return dist.InsideChance(margin/math.Sqrt(variance/n), dist.TQuantile(1-sameLevel, df), df) >= 0.80, nil
	})
}

// upperTail is the chance that a t exceeds this one.
func upperTail(t, df float64) float64 {
	p := dist.TwoSidedT(t, df) / 2
	if t > 0 {
		return p
	}
	return 1 - p
}
