package compare

import (
	"context"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"

	"breakbook/models/dist"
	"breakbook/models/verdict"
)

// Summary describes one group of values: centre, spread and the interval of its mean. What needs more
// values than there are is NaN: SD, CV and Interval need two.
type Summary struct {
	N                   int
	Mean, SD            float64 // SD with n − 1
	CV                  float64 // SD ÷ Mean; NaN for a mean of zero or less
	Least, Median, Most float64
	Interval            verdict.Range // of the mean
}

// Summarise describes values, which must not be empty; it is parallel.Stopped where ctx ends. The
// interval of the mean is the group's own: mean ± t·SD/√n with n − 1 degrees of freedom (Student 1908).
func Summarise(ctx context.Context, values []float64, confidence float64) Summary {
	nan := math.NaN()
	s := Summary{N: len(values), Mean: stat.Mean(values, nil), SD: nan, CV: nan,
		Least: slices.Min(values), Most: slices.Max(values), Median: dist.Median(ctx, values),
		Interval: verdict.Range{Low: nan, High: nan}}
	if s.N < 2 {
		return s
	}
	s.SD = stat.StdDev(values, nil)
	if s.Mean > 0 {
		s.CV = s.SD / s.Mean
	}
	half := dist.TQuantile(0.5+confidence/2, float64(s.N-1)) * s.SD / math.Sqrt(float64(s.N))
	s.Interval = verdict.Range{Low: s.Mean - half, High: s.Mean + half}
	return s
}
