package session

import (
	"context"
	"math"
	"sync/atomic"

	"breakbook/frames"
	"breakbook/models/curves"
	"breakbook/models/parallel"
)

// CurveFigures is what came of one curve.
type CurveFigures struct {
	*curves.Measures
	Err error
}

// MeasureAll measures every curve, side by side; the order is the curves'.
func MeasureAll(ctx context.Context, c *frames.Curves, o curves.Options) ([]CurveFigures, error) {
	all := make([]CurveFigures, c.Len())
	var done atomic.Int64
	report := parallel.ProgressOf(ctx)
	err := parallel.Each(ctx, len(all), func(_ context.Context, i int) error {
		slip, load := c.Curve(i)
		all[i].Measures, all[i].Err = curves.Measure(slip, load, o)
		report(int(done.Add(1)), len(all))
		return nil
	})
	return all, err
}

// SpreadOf is the sd of the values there are.
func SpreadOf(values []float64) float64 {
	n, mean, squares := 0., 0., 0.
	for _, x := range values {
		if x == x {
			n++
			before := x - mean
			mean += before / n
			squares += before * (x - mean) // Welford 1962
		}
	}
	if n < 2 {
		return math.NaN()
	}
	return math.Sqrt(squares / (n - 1))
}
