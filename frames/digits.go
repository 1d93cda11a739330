package frames

import (
	"context"
	"math"

	"breakbook/frames/units"
	"breakbook/models/parallel"
)

// mostDigits is how many significant digits of a number are told apart: more are the rounding of its
// calculation.
const mostDigits = 15

// stepOf is the finest decimal step that numbers are written with: 0.1 of 388 and 402.5, 1 of whole
// ones; 0 of no number. Digits after the fifteenth significant one of the largest do not count. It is
// parallel.Stopped where ctx ends.
func stepOf(ctx context.Context, values []float64) float64 {
	largest := largestOf(ctx, values)
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

// largestOf is the largest size of finite numbers, 0 of none.
func largestOf(ctx context.Context, values []float64) float64 {
	largest := 0.0
	for row, x := range values {
		parallel.LookAt(ctx, row)
		if a := math.Abs(x); a > largest && !math.IsInf(a, 0) {
			largest = a
		}
	}
	return largest
}

// digitsAt is how many significant digits the largest of some numbers has at a step; 0 where there is
// no step or no number.
func digitsAt(largest, step float64) int {
	if step <= 0 || largest < step {
		return 0
	}
	return 1 + int(math.Floor(math.Log10(largest/step)+1e-9))
}

// DigitsOf is how many significant digits numbers have, as they are written, counted on the largest.
func DigitsOf(ctx context.Context, values []float64) int {
	return digitsAt(largestOf(ctx, values), stepOf(ctx, values))
}

// StepAt is the step that numbers support which were worked out of others with so many significant
// digits: one digit more than those, counted on the largest. It is 0 where digits is, and where the
// numbers are written with no finer step anyway.
func StepAt(ctx context.Context, values []float64, digits int) float64 {
	largest := largestOf(ctx, values)
	if digits == 0 || largest == 0 {
		return 0
	}
	step := math.Pow10(int(math.Floor(math.Log10(largest))) - digits)
	if stepOf(ctx, values) >= step {
		return 0
	}
	return step
}

// step is the finest step that a number column supports.
func (f *Frame) step(ctx context.Context, column int, values []float64) float64 {
	if s := f.held[column].Step; s > 0 {
		return s
	}
	return stepOf(ctx, values)
}

// Digits is how many significant digits a number column supports, counted on its largest value; 0 for any
// other column.
func (f *Frame) Digits(ctx context.Context, column string) int {
	values, err := f.Numbers(column)
	if err != nil {
		return 0
	}
	return digitsAt(largestOf(ctx, values), f.step(ctx, f.at[column], values))
}

// pooledStep is the finest step that the parts of a pooled number column support, in the pool's unit; 0
// where all are as they were written.
func (p *pooling) pooledStep(h *held) float64 {
	parts := make([]Part, 0, len(p.parts))
	written := true
	for _, part := range p.parts {
		if c, ok := part.Frame.Column(h.Name); ok {
			parts = append(parts, part)
			written = written && c.Step == 0 && (c.Unit == h.Unit || c.Unit.None())
		}
	}
	if written {
		return 0
	}
	finest := 0.0
	for _, part := range parts {
		c, _ := part.Frame.Column(h.Name)
		values, _ := part.Frame.Numbers(h.Name) // all are numbers where the pool's are
		step := part.Frame.step(p.ctx, part.Frame.at[h.Name], values)
		if !c.Unit.None() {
			change, _ := units.To(c.Unit, h.Unit) // of one dimension: see unit
			step = math.Abs(change.ApplyDifference(step))
		}
		if step > 0 && (finest == 0 || step < finest) {
			finest = step
		}
	}
	return finest
}
