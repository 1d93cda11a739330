// Package incidence tells how many specimens end in each of several ways: as proportions, and
// building up as the load rises.
package incidence

import (
	"gonum.org/v1/gonum/stat/distuv"

	"breakbook/models/verdict"
)

// Proportion is the exact interval of a proportion, k of n, at a confidence (Clopper & Pearson
// 1934): each end the proportion at which a count as far out as k has half of what is left of
// the confidence, by the beta distribution. At k = 0 the interval starts at 0, at k = n it ends at 1.
func Proportion(k, n int, confidence float64) verdict.Range {
	tail := (1 - confidence) / 2
	r := verdict.Range{Low: 0, High: 1}
	if k > 0 {
		r.Low = distuv.Beta{Alpha: float64(k), Beta: float64(n - k + 1)}.Quantile(tail)
	}
	if k < n {
		// The upper end as the lower one of the specimens that did not end so: no digits lost near 1.
		r.High = 1 - distuv.Beta{Alpha: float64(n - k), Beta: float64(k + 1)}.Quantile(tail)
	}
	return r
}
