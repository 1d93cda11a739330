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

// TareTest is what a gauge shows with nothing on it.
type TareTest struct {
	N           int
	Mean, SD    float64
	T, DF, P    float64 // the mean against zero, two-sided; NaN with fewer than two readings or no spread
	Least, Most float64 // readings
	Level       float64 // the mean as a share of the size given
}

// Tare checks readings taken with nothing on the gauge: their mean against zero by
// Student's t (1908) with n − 1 degrees of freedom, and its share of size, the smallest load
// that will be measured (0 or NaN: unknown, the share is NaN). Missing readings are left
// out. Errors (*Error): "too-few-readings" (none), "not-a-number" (infinite), "too-large".
func Tare(unloaded []float64, size float64) (*TareTest, error) {
	nan := math.NaN()
	t := &TareTest{SD: nan, T: nan, DF: nan, P: nan, Level: nan}
	squares := 0.
	for i, v := range unloaded {
		if math.IsNaN(v) {
			continue
		}
		if code := unfit(v); code != "" {
			return nil, &Error{Code: code, N: len(unloaded), Reading: i, Other: -1}
		}
		if t.N == 0 {
			t.Least, t.Most = v, v
		}
		t.Least, t.Most = min(t.Least, v), max(t.Most, v)
		t.N++
		before := v - t.Mean
		t.Mean += before / float64(t.N)
		squares += before * (v - t.Mean) // Welford 1962
	}
	if t.N == 0 {
		return nil, because("too-few-readings", 0)
	}
	if size > 0 {
		t.Level = t.Mean / size
	}
	if t.N < 2 {
		return t, nil
	}
	t.DF = float64(t.N - 1)
	t.SD = math.Sqrt(squares / t.DF)
	if t.SD > 0 {
		t.T = t.Mean / (t.SD / math.Sqrt(float64(t.N)))
		t.P = dist.TwoSidedT(t.T, t.DF)
	}
	return t, nil
}
