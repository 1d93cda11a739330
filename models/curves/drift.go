package curves

import (
	"math"

	"breakbook/models/dist"
)

// DriftTest is a straight line through residuals in test order.
type DriftTest struct {
	N                   int
	Slope, SE, T, DF, P float64 // residual units per unit of order; P two-sided
	Total               float64 // what the line comes to from the first to the last of the order
}

// Drift tests for drift in test order: the least-squares line of residual on order, its
// slope against zero by t with n − 2 degrees of freedom (Student's test of a regression
// slope; Snedecor & Cochran 1989, ch. 9, from memory). Readings without both numbers are
// left out. Errors (*Error): "uneven-lengths", "not-a-number" (infinite), "too-large",
// "too-few-readings" (three), "order-stands-still", "all-equal".
func Drift(order, residual []float64) (*DriftTest, error) {
	if len(order) != len(residual) {
		return nil, because("uneven-lengths", len(order))
	}
	var x, y []float64
	for i, o := range order {
		if math.IsNaN(o) || math.IsNaN(residual[i]) {
			continue
		}
		if code := unfit(o, residual[i]); code != "" {
			return nil, &Error{Code: code, N: len(order), Reading: i, Other: -1}
		}
		x, y = append(x, o), append(y, residual[i])
	}
	if len(x) < 3 {
		return nil, because("too-few-readings", len(x))
	}
	fit, ok := straight(x, y)
	switch {
	case !ok:
		return nil, because("order-stands-still", len(x))
	case !(fit.syy > 0):
		return nil, because("all-equal", len(x))
	}
	d := &DriftTest{N: fit.n, Slope: fit.slope, DF: float64(fit.n - 2)}
	d.SE = math.Sqrt(fit.residualSS / d.DF / fit.sxx)
	d.T = d.Slope / d.SE
	d.P = dist.TwoSidedT(d.T, d.DF)
	least, most := x[0], x[0]
	for _, v := range x {
		least, most = min(least, v), max(most, v)
	}
	d.Total = d.Slope * (most - least)
	return d, nil
}
