package figures

import (
	"cmp"
	"fmt"
	"math"

	"breakbook/repl/page"
)

// Sizes a figure may have, in millimetres.
const (
	defaultWidth, defaultHeight = 160, 100
	leastWidth, leastHeight     = 60, 40
	mostSide                    = 500
)

// What a row of a lying figure needs to be named and told from the next, and what stands around the rows.
const rowHeight, aroundRows = 5, 42

// Size gives the figure's width and height in millimetres; what is zero is filled
// in so that the theme's proportions stay, or that all rows of a lying figure have room.
func Size(f page.Figure) (w, h float64) {
	w, h = f.WidthMM, f.HeightMM
	switch {
	case w == 0 && h == 0 && lies(f):
		rows := float64(len(f.X.Levels))
		return defaultWidth, max(defaultHeight, min(aroundRows+rowHeight*rows, mostSide))
	case w == 0 && h == 0:
		return defaultWidth, defaultHeight
	case w == 0:
		return h * defaultWidth / defaultHeight, h
	case h == 0:
		return w, w * defaultHeight / defaultWidth
	}
	return w, h
}

// check refuses what cannot be drawn honestly: sizes out of reach, nothing on the
// figure, numbers that do not exist, parts of unequal length.
func check(f page.Figure) error {
	if w, h := Size(f); !(w >= leastWidth && h >= leastHeight && w <= mostSide && h <= mostSide) {
		return fmt.Errorf("%w: %g by %g mm, where %d by %d to %d by %d mm can be drawn",
			ErrSize, f.WidthMM, f.HeightMM, leastWidth, leastHeight, mostSide, mostSide)
	}
	k := len(f.X.Levels)
	if n := len(f.X.Counts); n != 0 && n != k {
		return fmt.Errorf("%w: %d levels with %d counts", ErrShape, k, n)
	}
	if len(f.Y.Levels) != 0 {
		return fmt.Errorf("%w: levels belong on the x axis", ErrShape)
	}
	for _, key := range f.Keys {
		if key.Look < page.Grey {
			return fmt.Errorf("%w: the key %q has look %d", ErrShape, key.Label, key.Look)
		}
	}
	if f.Lying && k == 0 {
		return fmt.Errorf("%w: a lying figure without levels", ErrShape)
	}
	marks := 0
	for i, l := range f.Layers {
		n, err := checkLayer(l, k)
		if err != nil {
			return fmt.Errorf("%w (layer %d)", err, i+1)
		}
		marks += n
	}
	if marks == 0 {
		return ErrEmpty
	}
	return nil
}

// checkLayer looks at one layer and counts the places it marks. With k levels, x must lie on one of them.
func checkLayer(l page.Layer, k int) (int, error) {
	switch l := l.(type) {
	case page.Points:
		n := len(l.X)
		if len(l.Y) != n || (l.Looks != nil && len(l.Looks) != n) || (l.Names != nil && len(l.Names) != n) {
			return 0, fmt.Errorf("%w: points with %d x, %d y, %d looks and %d names", ErrShape, n, len(l.Y),
				len(l.Looks), len(l.Names))
		}
		for _, look := range l.Looks {
			if look < page.Grey {
				return 0, fmt.Errorf("%w: points with look %d", ErrShape, look)
			}
		}
		return n, cmp.Or(placed(k, l.X), finite(l.Y))
	case page.Line:
		if len(l.Y) != len(l.X) || l.Look < page.NoLook {
			return 0, fmt.Errorf("%w: a line with %d x, %d y and look %d", ErrShape, len(l.X), len(l.Y), l.Look)
		}
		return len(l.X), cmp.Or(placed(k, l.X), finite(l.Y))
	case page.Band:
		if len(l.Low) != len(l.X) || len(l.High) != len(l.X) || l.Look < page.NoLook {
			return 0, fmt.Errorf("%w: a band with %d x, %d low, %d high and look %d", ErrShape, len(l.X), len(l.Low),
				len(l.High), l.Look)
		}
		return len(l.X), cmp.Or(placed(k, l.X), finite(l.Low), finite(l.High))
	case page.Interval:
		if l.Look < 0 {
			return 0, fmt.Errorf("%w: an interval with look %d", ErrShape, l.Look)
		}
		if math.IsNaN(l.Low) || math.IsNaN(l.High) {
			return 0, fmt.Errorf("%w: an interval from %g to %g", ErrNotFinite, l.Low, l.High)
		}
		return 1, cmp.Or(placed(k, []float64{l.X}), finite([]float64{l.Mean}))
	case page.Rule:
		return 0, finite([]float64{l.Y})
	case page.Zone:
		return 0, finite([]float64{l.Low, l.High})
	}
	return 0, fmt.Errorf("%w: a layer of an unknown kind, %T", ErrShape, l)
}

// finite refuses NaN and infinity.
func finite(v []float64) error {
	for i, x := range v {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return fmt.Errorf("%w: %v at place %d", ErrNotFinite, x, i+1)
		}
	}
	return nil
}

// placed refuses x that are not finite and, on an axis of k levels, those that are on none of them.
func placed(k int, x []float64) error {
	if err := finite(x); err != nil || k == 0 {
		return err
	}
	for i, v := range x {
		if v < -0.5 || v > float64(k)-0.5 {
			return fmt.Errorf("%w: x is %g at place %d, on an axis of %d levels", ErrShape, v, i+1, k)
		}
	}
	return nil
}
