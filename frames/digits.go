package frames

import (
	"context"
	"math"

	"breakbook/frames/notation"
	"breakbook/frames/units"
)

// step is the finest step that a number column supports.
func (f *Frame) step(ctx context.Context, column int, values []float64) float64 {
	if s := f.held[column].Step; s > 0 {
		return s
	}
	return notation.StepOf(ctx, values)
}

// Digits is how many significant digits a number column supports, counted on its largest value; 0 for any
// other column.
func (f *Frame) Digits(ctx context.Context, column string) int {
	values, err := f.Numbers(column)
	if err != nil {
		return 0
	}
	return notation.DigitsAt(notation.LargestOf(ctx, values), f.step(ctx, f.at[column], values))
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
