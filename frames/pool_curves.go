package frames

import (
	"math"
	"slices"

	"breakbook/frames/units"
)

var nan = math.NaN()

func repeated[T any](x T, n int) []T { return slices.Repeat([]T{x}, n) }

// Files are the files the frame was made from, one for a frame that was read, several
// for one that was put together.
func (f *Frame) Files() []Source {
	if f.files != nil {
		return f.files
	}
	return []Source{f.source}
}

// poolCurves puts the curves of all parts together, in the units of the first that has
// some; nil where none has.
func poolCurves(parts []Part) (*rowCurves, error) {
	var out *rowCurves
	rows := 0
	for _, part := range parts {
		slips := part.Frame.slips
		if slips != nil && out == nil {
			all := *slips.curves
			all.Names, all.Files, all.Sources, all.Remarks, all.Skipped = nil, nil, nil, nil, 0
			all.from, all.slip, all.load = []int{0}, nil, nil
			out = &rowCurves{curves: &all, of: repeated(-1, rows)}
		}
		rows += part.Frame.Len()
		switch {
		case out == nil:
		case slips == nil:
			out.of = append(out.of, repeated(-1, part.Frame.Len())...)
		default:
			base := out.curves.Len()
			if err := out.curves.join(slips.curves); err != nil {
				return nil, err
			}
			for _, c := range slips.of {
				if c >= 0 {
					c += base
				}
				out.of = append(out.of, c)
			}
		}
	}
	return out, nil
}

// join appends other curves, turned into these units.
func (c *Curves) join(other *Curves) error {
	load, err := units.To(other.LoadUnit, c.LoadUnit)
	if err != nil {
		return err
	}
	slip, err := units.To(other.SlipUnit, c.SlipUnit)
	if err != nil {
		return err
	}
	base := len(c.slip)
	for _, end := range other.from[1:] {
		c.from = append(c.from, base+end)
	}
	for i := range other.slip {
		c.slip, c.load = append(c.slip, slip.Apply(other.slip[i])), append(c.load, load.Apply(other.load[i]))
	}
	c.Names, c.Files = append(c.Names, other.Names...), append(c.Files, other.Files...)
	c.Sources, c.Remarks = append(c.Sources, other.Sources...), append(c.Remarks, other.Remarks...)
	c.Skipped += other.Skipped
	c.LoadDigits, c.SlipDigits = max(c.LoadDigits, other.LoadDigits), max(c.SlipDigits, other.SlipDigits)
	return nil
}
