package notation

import (
	"math"
	"testing"
)

func TestStepOf(t *testing.T) {
	for _, c := range []struct {
		values []float64
		want   float64
	}{
		{nil, 0}, {[]float64{0, math.NaN()}, 0}, {[]float64{18, 400}, 1}, {[]float64{388, 402.5, math.NaN()}, 0.1},
		{[]float64{184, 97.27}, 0.01}, {[]float64{0.00001234}, 1e-8}, {[]float64{-20.25}, 0.01},
		{[]float64{1.0 / 3}, 1e-15}, {[]float64{100.0 / 3, 1}, 1e-13}, {[]float64{math.Inf(1), 2.5}, 0.1},
	} {
		if got := StepOf(t.Context(), c.values); math.Abs(got-c.want) > 1e-9*c.want {
			t.Errorf("step of %v is %v, want %v", c.values, got, c.want)
		}
	}
}

func TestStepAt(t *testing.T) {
	for _, c := range []struct {
		values []float64
		digits int
		want   float64
	}{
		{[]float64{4.56789, 1}, 3, 0.001}, {[]float64{4.56, 1}, 3, 0}, {[]float64{1.0 / 3}, 0, 0}, {nil, 3, 0},
		{[]float64{12345.678}, 3, 10}, {[]float64{0.0123456}, 2, 0.0001},
	} {
		if got := StepAt(t.Context(), c.values, c.digits); math.Abs(got-c.want) > 1e-9*c.want {
			t.Errorf("step of %v with %d digits is %v, want %v", c.values, c.digits, got, c.want)
		}
	}
}
