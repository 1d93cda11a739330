package limits

import (
	"math"

	"breakbook/models/halving"
	"breakbook/models/lists"
)

// pivot is the generalised pivotal quantity of the load that a share of all joints exceeds
// (Weerahandi 1993, JASA 88; Krishnamoorthy and Mathew 2009, Statistical Tolerance Regions):
// what that load may be, given the specimens. Its points are limits of that confidence. It is
// normal once the chi-squares of the variances are known, so it is kept as normal parts over a
// grid of these.
type pivot []part

type part struct{ weight, mean, sd float64 }

// chiSquares are values of a chi-square with weights that add up to 1: the trapezium rule in the
// logarithm of its root, where the density falls off at both ends, so that the rule converges
// exponentially, and where a share between blocks that is next to nothing does no harm.
func chiSquares(df float64, finer int) (values, weights []float64) {
	step := math.Min(0.2, 0.4/math.Sqrt(df)) / float64(finer)
	peak := math.Log(df) / 2
	logWeight := func(y float64) float64 { return df*(y-peak) - (math.Exp(2*y)-df)/2 }
	sum := 0.0
	for _, side := range []float64{-1, 1} {
		from := 0
		if side > 0 {
			from = 1
		}
		for i := from; ; i++ {
			y := peak + side*float64(i)*step
			w := math.Exp(logWeight(y))
			if w < 1e-9 {
				break
			}
			values, weights = append(values, math.Exp(2*y)), append(weights, w)
			sum += w
		}
	}
	for i := range weights {
		weights[i] /= sum
	}
	return values, weights
}

// independent is the pivot of mean − z·σ where the mean has the variance h·σ² and sd²·df/σ²
// is chi-square.
func independent(mean, sd, h, df, z float64) pivot {
	u, weights := chiSquares(df, 1)
	out := make(pivot, len(u))
	for i, x := range u {
		sigma := sd * math.Sqrt(df/x)
		out[i] = part{weights[i], mean - z*sigma, sigma * math.Sqrt(h)}
	}
	return out
}

// below is the chance that the pivot is at most t.
func (p pivot) below(t float64) float64 {
	sum := 0.0
	for _, a := range p {
		switch {
		case a.sd > 0:
			sum += a.weight * math.Erfc((a.mean-t)/(a.sd*math.Sqrt2)) / 2
		case a.mean <= t:
			sum += a.weight
		}
	}
	return sum
}

// at is the t that the pivot is below with that chance, to about ten digits of its width.
func (p pivot) at(chance float64) float64 {
	middle, width := 0.0, 0.0
	for _, a := range p {
		middle += a.weight * a.mean
		width += a.weight * a.sd
	}
	if math.IsInf(middle-width, 0) || math.IsNaN(middle-width) {
		return math.NaN()
	}
	if width == 0 {
		width = math.SmallestNonzeroFloat64
	}
	f := func(t float64) float64 { return p.below(t) - chance }
	low, high := middle-width, middle+width
	for step := width; f(low) > 0 && !math.IsInf(low, 0); step *= 2 {
		low -= step
	}
	for step := width; f(high) < 0 && !math.IsInf(high, 0); step *= 2 {
		high += step
	}
	return halving.Root(f, low, high, halving.Near{Width: 1e-10 * width, Value: 1e-12})
}

// scaled is the pivot with its distance from the mean multiplied, as a larger sd does.
func (p pivot) scaled(mean, by float64) pivot {
	return lists.Mapped(p, func(a part) part { return part{a.weight, mean - (mean-a.mean)*by, a.sd * by} })
}
