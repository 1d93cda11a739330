package limits

import (
	"math"

	"breakbook/models/checks"
)

// LeastShape is the p of the shape's test under which a method is not used.
const LeastShape = 0.01

// mostShape is the number of values the test of a shape was made for.
const mostShape = 5000

// shape is the p of the Shapiro–Wilk test that values have the bell shape; NaN where they are
// too few or alike. In blocks it is tested of the specimens about their block, of the blocks'
// means, and of the specimens with as much of their block's mean taken off as makes them independent,
// by the share of the variance between blocks: about its mean, a small block smears an odd specimen
// over the others. The smallest p is tripled, since values that share blocks are not independent.
func shape(values []float64, codes []int, blocks int, between float64) float64 {
	if codes == nil {
		return bell(values)
	}
	if !(between > 0) {
		between = 0
	}
	size, mean, middle := make([]float64, blocks), make([]float64, blocks), 0.0
	for i, y := range values {
		b := codes[i]
		middle += (y - middle) / float64(i+1)
		size[b]++
		mean[b] += (y - mean[b]) / size[b]
	}
	var about, alone []float64
	for i, y := range values {
		b := codes[i]
		n := size[b]
		if n > 1 {
			about = append(about, (y-mean[b])/math.Sqrt(1-1/n))
		}
		alone = append(alone, y-mean[b]+(mean[b]-middle)*math.Sqrt((1-between)/(1-between+n*between)))
	}
	p := math.NaN()
	for _, one := range []float64{bell(about), bell(mean), bell(alone)} {
		if 3*one < p || math.IsNaN(p) {
			p = 3 * one
		}
	}
	return math.Min(p, 1)
}

// bell is the test of one set of values. Of more than the test was made for it takes
// every second, third, … one in the order they come.
func bell(values []float64) float64 {
	var some []float64
	for i := 0; i < len(values); i += (len(values) + mostShape - 1) / mostShape {
		some = append(some, values[i])
	}
	_, p, err := checks.ShapiroWilk(some)
	if err != nil {
		return math.NaN()
	}
	return p
}
