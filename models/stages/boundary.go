// Package stages has the boundaries of a series that is looked at before it is complete, and the chances of
// coming to them: the error spent by stages (Lan and DeMets 1983, Biometrika 70, 659-663; Jennison and
// Turnbull 2000, Group Sequential Methods), by integrating from one stage to the next (Armitage, McPherson
// and Rowe 1969, J. R. Statist. Soc. A 132, 235-244).
package stages

import (
	"math"

	"breakbook/models/dist"
	"breakbook/models/halving"
)

// Spending is how an error is given out over the stages.
type Spending int

// Late keeps nearly all of it for the end, with the shape of O'Brien and Fleming's boundary; Evenly gives
// each stage the share that its specimens are of all.
const (
	Late Spending = iota
	Evenly
)

// Spent is how much of a two-sided error is given out once the share t of the planned specimens is there:
// 4·(1 − Φ(z(error/4)/√t)), or error·t (Lan and DeMets 1983). From t = 1 on it is all of it.
func (s Spending) Spent(alpha, t float64) float64 {
	switch {
	case !(t > 0):
		return 0
	case t >= 1:
		return alpha
	case s == Evenly:
		return alpha * t
	}
	return 4 * dist.NormalTail(Upper(alpha/4)/math.Sqrt(t))
}

// SpentOneSided is the same for an error to one side: 2·(1 − Φ(z(error/2)/√t)).
func (s Spending) SpentOneSided(beta, t float64) float64 {
	if s == Late && t > 0 && t < 1 {
		return 2 * dist.NormalTail(Upper(beta/2)/math.Sqrt(t))
	}
	return s.Spent(beta, t)
}

// Upper is the standard normal value that is exceeded with chance p, at most a half.
func Upper(p float64) float64 {
	_, z := halving.Between(0, 2*farthest, 100, func(z float64) bool { return dist.NormalTail(z) < p })
	return z
}

// Correlations are those of each look with the next, where what is seen at a look is a mean of at[i]
// times the planned specimens: √(at[i]/at[i+1]). The looks rise.
func Correlations(at []float64) []float64 {
	var out []float64
	for i := 1; i < len(at); i++ {
		out = append(out, math.Sqrt(at[i-1]/at[i]))
	}
	return out
}

// Nominal are the p below which each look may say that there is a difference, so that by then no more than
// spent, the error given out so far, is used: of one difference two-sided, of several dimensions by their
// chi-square. at are the shares of the planned specimens at the looks, which rise and may pass 1; neither
// falls. A look that has nothing left to spend has 0.
func Nominal(dimensions int, at, spent []float64) []float64 {
	path, used := newProcess(dimensions, at), 0.0
	out := make([]float64, len(at))
	for i := range at {
		if due := spent[i] - used; due > 0 {
			over := func(lnP float64) float64 { return math.Log(path.below(math.Exp(lnP)) / due) }
			// The chance to be below p here alone is p, and so p is no less than what is due, nor more than all.
			low, high := math.Log(due), math.Log(spent[i])
			out[i] = math.Exp(low)
			if i > 0 && over(low) < 0 {
				out[i] = math.Exp(halving.Root(over, low, high, halving.Near{Width: 1e-11, Value: 1e-11}))
			}
			used = spent[i]
		}
		path.goOn(out[i])
	}
	return out
}

// FalseAlarms are the chances that one of the looks so far finds p below its own where there is no
// difference.
func FalseAlarms(dimensions int, at, p []float64) []float64 {
	path, sum := newProcess(dimensions, at), 0.0
	out := make([]float64, len(at))
	for i := range at {
		if p[i] > 0 {
			sum += path.below(p[i])
		}
		out[i] = sum
		path.goOn(p[i])
	}
	return out
}
