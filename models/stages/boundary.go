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

// Nominal are the two-sided p below which each look may say that there is a difference, so that by then no
// more than spent, the error given out so far, is used. at are the shares of the planned specimens at the
// looks, which rise and may pass 1; neither falls. A look that has nothing left to spend has 0.
func Nominal(at, spent []float64) []float64 {
	path, used := NewPath(Correlations(at)), 0.0
	out := make([]float64, len(at))
	for i := range at {
		due := spent[i] - used
		z := math.Inf(1)
		if due > 0 {
			_, z = halving.Between(0, farthest, 100, func(z float64) bool { return path.Chance(Beyond(z)...) < due })
			out[i], used = 2*dist.NormalTail(z), spent[i]
		}
		path.GoOn(Region{-z, z})
	}
	return out
}

// SpentAt is what is given out at each of several shares.
func (s Spending) SpentAt(alpha float64, at []float64) []float64 {
	var out []float64
	for _, t := range at {
		out = append(out, s.Spent(alpha, t))
	}
	return out
}

// Beyond is both sides further out than z.
func Beyond(z float64) []Region { return []Region{{math.Inf(-1), -z}, {z, math.Inf(1)}} }

// FalseAlarms are the chances that one of the looks so far finds p below its own where there is no
// difference.
func FalseAlarms(at, p []float64) []float64 {
	path, sum := NewPath(Correlations(at)), 0.0
	out := make([]float64, len(at))
	for i := range at {
		z := math.Inf(1)
		if p[i] > 0 {
			z = Upper(p[i] / 2)
		}
		sum += path.Chance(Beyond(z)...)
		out[i] = sum
		path.GoOn(Region{-z, z})
	}
	return out
}
