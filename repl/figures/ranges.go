package figures

import (
	"math"
	"slices"

	"breakbook/repl/page"
)

// mostStretch is how far, in lengths of the range of specimens and means, an interval may
// stretch the axis to either side: a level of two specimens shall not press all others flat.
const mostStretch = 0.5

// mostWide is how many times as wide as the middle one an interval may be that the axis takes in
// whole, where there are no specimens to go by.
const mostWide = 4

// extent is a range in the making.
type extent struct{ lo, hi float64 }

func (e *extent) take(v ...float64) {
	for _, v := range v {
		e.lo, e.hi = min(e.lo, v), max(e.hi, v)
	}
}

// ranges takes in everything on the figure, and of intervals what leaves the others room.
func ranges(f page.Figure) (x, y scale) {
	across, up := extent{math.Inf(1), math.Inf(-1)}, extent{math.Inf(1), math.Inf(-1)}
	specimens := false
	var intervals []page.Interval
	for _, l := range f.Layers {
		switch l := l.(type) {
		case page.Points:
			specimens = specimens || len(l.X) > 0
			across.take(l.X...)
			up.take(l.Y...)
		case page.Line:
			across.take(l.X...)
			up.take(l.Y...)
		case page.Band:
			across.take(l.X...)
			up.take(l.Low...)
			up.take(l.High...)
		case page.Interval:
			across.take(l.X)
			up.take(l.Mean)
			intervals = append(intervals, l)
		case page.Rule:
			up.take(l.Y)
		case page.Zone:
			up.take(l.Low, l.High)
		}
	}
	takeIntervals(&up, intervals, specimens)
	if f.Y.FromZero {
		up.take(0)
	}
	y = newScale(up.lo, up.hi)
	if k := len(f.X.Levels); k > 0 {
		return scale{lo: -0.5, hi: float64(k) - 0.5}, y
	}
	return newScale(across.lo, across.hi), y
}

// takeIntervals takes the ends of intervals into a range that has the specimens and means.
func takeIntervals(up *extent, intervals []page.Interval, specimens bool) {
	span := up.hi - up.lo
	if !specimens {
		var wide []float64
		for _, v := range intervals {
			if w := v.High - v.Low; w > 0 && !math.IsInf(w, 0) {
				wide = append(wide, w)
			}
		}
		if len(wide) > 0 {
			slices.Sort(wide)
			most := mostWide * wide[len(wide)/2]
			for _, v := range intervals {
				if v.High-v.Low <= most {
					up.take(v.Low, v.High)
				}
			}
		}
		span = up.hi - up.lo
	}
	if span <= 0 {
		for _, v := range intervals {
			for _, end := range []float64{v.Low, v.High} {
				if !math.IsInf(end, 0) {
					up.take(end)
				}
			}
		}
		return
	}
	least, most := up.lo-mostStretch*span, up.hi+mostStretch*span
	for _, v := range intervals {
		up.take(max(v.Low, least), min(v.High, most))
	}
}
