package notation

import (
	"context"
	"math"

	"breakbook/models/parallel"
)

// mostDigits is how many significant digits of a number are told apart: more are the rounding of its
// calculation.
const mostDigits = 15

// StepOf is the finest decimal step that numbers are written with: 0.1 of 388 and 402.5, 1 of whole
// ones; 0 of no number. Digits after the fifteenth significant one of the largest do not count. It is
// parallel.Stopped where ctx ends.
func StepOf(ctx context.Context, values []float64) float64 {
	largest := LargestOf(ctx, values)
	if largest == 0 {
		return 0
	}
	decimals, scale := 0, 1.0
	most := mostDigits - 1 - int(math.Floor(math.Log10(largest)))
	for row, x := range values {
		parallel.LookAt(ctx, row)
		for decimals < most && x == x && math.Round(x*scale)/scale != x {
			decimals++
			scale = math.Pow10(decimals)
		}
	}
	return math.Pow10(-decimals)
}

// LargestOf is the largest size of finite numbers, 0 of none.
func LargestOf(ctx context.Context, values []float64) float64 {
	largest := 0.0
	for row, x := range values {
		parallel.LookAt(ctx, row)
		if a := math.Abs(x); a > largest && !math.IsInf(a, 0) {
			largest = a
		}
	}
	return largest
}

// DigitsAt is how many significant digits the largest of some numbers has at a step; 0 where there is
// no step or no number.
func DigitsAt(largest, step float64) int {
	if step <= 0 || largest < step {
		return 0
	}
	return 1 + int(math.Floor(math.Log10(largest/step)+1e-9))
}

// DigitsOf is how many significant digits numbers have, as they are written, counted on the largest.
func DigitsOf(ctx context.Context, values []float64) int {
	return DigitsAt(LargestOf(ctx, values), StepOf(ctx, values))
}

// StepAt is the step that numbers support which were worked out of others with so many significant
// digits: one digit more than those, counted on the largest. It is 0 where digits is, and where the
// numbers are written with no finer step anyway.
func StepAt(ctx context.Context, values []float64, digits int) float64 {
	largest := LargestOf(ctx, values)
	if digits == 0 || largest == 0 {
		return 0
	}
	step := math.Pow10(int(math.Floor(math.Log10(largest))) - digits)
	if StepOf(ctx, values) >= step {
		return 0
	}
	return step
}
