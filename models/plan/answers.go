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
// and worth is the smallest difference worth having, of the factor whose level means are known least. Errors
// are those of At.
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
	df := m.df(at, perLevel)
	return pairTest{df: df, sd: math.Sqrt(2 * variances[at]), wide: pairPoint(m.Levels[at], df, 1-m.Confidence),
		narrow: pairPoint(m.Levels[at], df, 2*(1-m.Confidence))}.answers(truth, worth), nil
}

// pairTest is a difference of two level means and what it is tested by: the sd of its error, the degrees of
// freedom behind that, and the critical values of the interval and of that of twice the error.
type pairTest struct{ df, sd, wide, narrow float64 }

// answers are the chances by the rule of verdict.Decide: the levels differ where the pair's interval excludes
// zero; else there is no difference worth having where that of twice the error lies wholly within worth either
// way; else nothing can be told. The difference found is normal about truth with the sd τ, and the sd that it is
// judged by is τ·u with df·u² from χ² on df, apart from it (textbook: mean and variance of normal samples are
// independent); None is integrated over u.
func (j pairTest) answers(truth, worth float64) Answers {
	df, tau := j.df, j.sd
	a := Answers{Differs: dist.PassingChance(j.wide, df, truth/tau)}
	within := func(u float64) float64 {
		reach := min(worth-j.narrow*u*tau, j.wide*u*tau)
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
	edges := []float64{low, worth / (tau * (j.narrow + j.wide)), worth / (tau * j.narrow), high}
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
	a.Half = j.wide * tau * over(func(u float64) float64 { return u }) / all
	a.Cannot = math.Max(0, 1-a.Differs-a.None)
	return a
}

// pairPoint is the critical value of a pair of k levels at an error, as compare takes it.
func pairPoint(k int, df, alpha float64) float64 {
	if k > 2 {
		return dist.NewStudentisedRange(k, df).Point(alpha) / math.Sqrt2
	}
	return dist.TQuantile(1-alpha/2, df)
}
