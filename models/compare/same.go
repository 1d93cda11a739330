package compare

import (
	"context"
	"math"

	"breakbook/models/dist"
	"breakbook/models/parallel"
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
// response's unit.
type Margin struct{ Low, High float64 }

// SamePair is second minus first, each level with its own spread.
type SamePair struct {
	First, Second   int
	Diff, Low, High float64 // the 90 % range (Welch 1947)
	P               float64 // the larger of the two one-sided p
	Answer          Sameness
	Enough          int // specimens a level with an 80 % chance of Same were the two alike; 0: over 10 000
}

// Sames tests every pair of levels, or each against level ref where ref is not negative,
// by two one-sided tests (Schuirmann 1987) without allowing for their number, each level
// keeping its own spread. Errors are those of Uneven, "no-spread" where a pair has none,
// or ctx's own.
func Sames(ctx context.Context, values [][]float64, ref int, margin Margin) (_ []SamePair, err error) {
	defer parallel.Catch(&err)
	m, err := Uneven(ctx, values)
	if err != nil {
		return nil, err
	}
	var out []SamePair
	for i := range values {
		for j := range values {
			parallel.Look(ctx)
			if ref < 0 && j <= i || ref >= 0 && (i != ref || j == ref) {
				continue
			}
			if m.Cov[i][i]+m.Cov[j][j] == 0 {
				return nil, &Error{"no-spread", i}
			}
			out = append(out, m.same(i, j, margin))
		}
	}
	return out, nil
}

// same tests one pair.
func (m Means) same(i, j int, margin Margin) SamePair {
	a, b := m.Cov[i][i], m.Cov[j][j]
	se := math.Sqrt(a + b)
	df := (a + b) * (a + b) / (a*a/(m.N[i]-1) + b*b/(m.N[j]-1)) // Welch's
	critical := dist.TQuantile(1-sameLevel, df)
	p := SamePair{First: i, Second: j, Diff: m.Mean[j] - m.Mean[i]}
	p.Low, p.High = p.Diff-critical*se, p.Diff+critical*se
	low, high := (p.Diff-margin.Low)/se, (p.Diff-margin.High)/se
	p.P = math.Max(upperTail(low, df), upperTail(-high, df))
	switch {
	case low > critical && high < -critical:
		p.Answer = Same
	case low < -critical || high > critical:
		p.Answer = Different
	default:
		p.Enough = m.enoughSame(i, j, math.Min(-margin.Low, margin.High))
	}
	return p
}

// enoughSame is the least number a level with which the 90 % range lies inside ± margin
// with a chance of 80 %, were the means alike and the spreads as seen.
func (m Means) enoughSame(i, j int, margin float64) int {
	if !(margin > 0) {
		return 0
	}
	variance := m.Cov[i][i]*m.N[i] + m.Cov[j][j]*m.N[j]
	guess := math.Min(mostSpecimens, 8.6*variance/(margin*margin)) // (1.645 + 1.282)²
	return leastWhole(2, guess, func(n float64) bool {
		df := 2 * (n - 1)
		return dist.InsideChance(margin/math.Sqrt(variance/n), dist.TQuantile(1-sameLevel, df), df) >= 0.80
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
