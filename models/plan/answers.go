package plan

import (
	"math"

	"gonum.org/v1/gonum/integrate/quad"

	"breakbook/models/dist"
)

// Answers are the chances of the three answers about a pair of levels of the factor that is told least, and
// the expected half of their interval, for a number of specimens of each combination.
type Answers struct {
	Differs, None, Cannot float64
	Half                  float64
}

// Answers are what perLevel specimens of each combination would say where two levels truly stand truth apart
// and worth is the smallest difference worth having, by the rule of verdict.Decide: it differs where the
// pair's interval excludes zero; else there is none worth having where that of twice the error lies wholly
// within worth either way; else nothing can be told. The difference found is normal about truth with the sd
// τ = √(2v), and the sd that it is judged by is τ·u with df·u² from χ² on df, apart from it (textbook: mean
// and
// variance of normal samples are independent); None is integrated over u. Errors are those of At.
func (m Means) Answers(perLevel int, truth, worth float64) (Answers, error) {
	if _, err := m.At(perLevel); err != nil {
		return Answers{}, err
	}
	variances := m.variances(perLevel, m.SD, m.blockSD())
	at := 0
	for i := range variances {
		if variances[i] > variances[at] || variances[i] == variances[at] && m.Levels[i] > m.Levels[at] {
			at = i
		}
	}
	df, tau := m.df(at, perLevel), math.Sqrt(2*variances[at])
	wide, narrow := m.pair(at, df, 1-m.Confidence), m.pair(at, df, 2*(1-m.Confidence))
	a := Answers{Differs: dist.PassingChance(wide, df, truth/tau)}
	within := func(u float64) float64 {
		reach := min(worth-narrow*u*tau, wide*u*tau)
		if reach <= 0 {
			return 0
		}
		return dist.NormalTail((-reach-truth)/tau) - dist.NormalTail((reach-truth)/tau)
	}
	// ln of the density of u but for a constant, which the same rule divides out.
	density := func(u float64) float64 { return math.Exp((df-1)*math.Log(u) - df*u*u/2 + df/2) }
	spread := 10 / math.Sqrt(2*df)
	low, high := math.Max(1e-9, 1-spread), 1+spread
	const points = 200
	// The reach is of one kind up to where both intervals are as long, and of none from where the shorter fills
	// worth: each piece is smooth.
	edges := []float64{low, worth / (tau * (narrow + wide)), worth / (tau * narrow), high}
	over := func(f func(u float64) float64) (sum float64) {
		from := low
		for _, to := range edges[1:] {
			if to = min(max(to, from), high); to > from {
				sum += quad.Fixed(func(u float64) float64 { return density(u) * f(u) }, from, to, points, nil, 0)
			}
			from = to
		}
		return sum
	}
	all := over(func(float64) float64 { return 1 })
	a.None = over(within) / all
	a.Half = wide * tau * over(func(u float64) float64 { return u }) / all
	a.Cannot = math.Max(0, 1-a.Differs-a.None)
	return a, nil
}

// pair is the critical value of a pair of levels of a factor at an error, as compare takes it.
func (m Means) pair(factor int, df, alpha float64) float64 {
	if k := m.Levels[factor]; k > 2 {
		return dist.NewStudentisedRange(k, df).Point(alpha) / math.Sqrt2
	}
	return dist.TQuantile(1-alpha/2, df)
}
