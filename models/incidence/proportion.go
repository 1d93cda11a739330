// Package incidence tells how many specimens end in each of several ways: as proportions, and
// building up as the load rises.
package incidence

import (
	"math"

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

// Difference is the interval of the proportion j of m less k of n at a confidence: the score intervals
// of both (Wilson 1927) joined by squares (Newcombe, Statistics in Medicine 17 (1998) 873–890, method
// 10). It stays within −1 and 1 and is not nothing where both counts are 0.
func Difference(k, n, j, m int, confidence float64) verdict.Range {
	p, q := float64(k)/float64(n), float64(j)/float64(m)
	a, b := score(k, n, confidence), score(j, m, confidence)
	return verdict.Range{Low: q - p - math.Hypot(q-b.Low, a.High-p), High: q - p + math.Hypot(b.High-q, p-a.Low)}
}

// score is Wilson's interval of a proportion, k of n.
func score(k, n int, confidence float64) verdict.Range {
	z := distuv.UnitNormal.Quantile(0.5 + confidence/2)
	p, size := float64(k)/float64(n), float64(n)
	middle := (p + z*z/(2*size)) / (1 + z*z/size)
	half := z / (1 + z*z/size) * math.Sqrt(p*(1-p)/size+z*z/(4*size*size))
	return verdict.Range{Low: math.Max(0, middle-half), High: math.Min(1, middle+half)}
}
