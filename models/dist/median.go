package dist

import (
	"context"
	"slices"

	"breakbook/models/parallel"
)

// Median is the middle of values in any order, or the mean of the two middle ones. values
// must not be empty; they are not changed. It is parallel.Stopped where ctx ends.
func Median(ctx context.Context, values []float64) float64 {
	v := slices.Clone(values)
	parallel.Sort(ctx, v)
	return MedianOfSorted(v)
}

// MedianOfSorted is the same of values in rising order.
func MedianOfSorted(sorted []float64) float64 {
	half := len(sorted) / 2
	if len(sorted)%2 == 1 {
		return sorted[half]
	}
	return sorted[half-1] + (sorted[half]-sorted[half-1])/2
}
