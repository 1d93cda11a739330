package dist

import "slices"

// Median is the middle of values in any order, or the mean of the two middle ones. values
// must not be empty; they are not changed.
func Median(values []float64) float64 { return MedianOfSorted(slices.Sorted(slices.Values(values))) }

// MedianOfSorted is the same of values in rising order.
func MedianOfSorted(sorted []float64) float64 {
	half := len(sorted) / 2
	if len(sorted)%2 == 1 {
		return sorted[half]
	}
	return sorted[half-1] + (sorted[half]-sorted[half-1])/2
}
