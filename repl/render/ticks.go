package render

import "math"

// axis is a number axis of a sketch: its range in so many cells, and the round numbers marked on it.
type axis struct {
	low, high float64
	cells     int
	ticks     []tickMark
}

// tickMark is a marked cell of an axis with its number.
type tickMark struct {
	cell int
	text string
}

// newAxis takes in the values from low to high, with half a cell of air at either end, and
// marks at most `most` round numbers (1, 2 or 5 and a power of ten apart).
func newAxis(low, high float64, cells, most int, o Options) axis {
	if size := math.Max(math.Abs(low), math.Abs(high)); !(high/2-low/2 > size*1e-13) || size < 1e-290 {
		air := size * 0.05
		if size < 1e-290 {
			air = 1
		}
		low, high = low-air, high+air
	}
	air := (high/2 - low/2) / float64(cells)
	a := axis{low: low - air, high: high + air, cells: cells}
	for exp := int(math.Floor(math.Log10(high/float64(most)/2-low/float64(most)/2))) - 1; ; exp++ {
		for _, by := range []float64{1, 2, 5} {
			if a.marked(by, exp, most, o) {
				return a
			}
		}
	}
}

// marked puts ticks `by` times a power of ten apart, unless they are too many.
func (a *axis) marked(by float64, exp, most int, o Options) bool {
	step := by * math.Pow(10, float64(exp))
	first, last := math.Ceil(a.low/step), math.Floor(a.high/step)
	if last-first+1 > float64(most) {
		return false
	}
	a.ticks = nil
	for k := first; k <= last; k++ {
		text := fixed(k*step, -exp)
		if x := math.Abs(k * step); x >= 1e15 || exp < -12 {
			text = power(k*step, o.digits())
		}
		a.ticks = append(a.ticks, tickMark{a.cell(k * step), text})
	}
	return true
}

// cell is where a value lies, from 0.
func (a axis) cell(x float64) int {
	at := int(math.Round((x/2 - a.low/2) / (a.high/2 - a.low/2) * float64(a.cells-1)))
	return min(max(at, 0), a.cells-1)
}
