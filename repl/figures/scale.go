package figures

import (
	"math"
	"strconv"
	"strings"

	"breakbook/models/lists"
)

// scale is a number axis. Values are moved by offset and divided by unit first, so that tick labels stay short and no
// difference is lost on the way; the axis label says both.
type scale struct {
	offset float64
	power  int // unit is 10^power
	lo, hi float64
	ticks  []tick
}

// tick is a marked place of an axis, in the scale's own terms.
type tick struct {
	at    float64
	label string
}

// of turns a value into the scale's own terms.
func (s *scale) of(v float64) float64 { return (v - s.offset) / math.Pow(10, float64(s.power)) }

// newScale takes in the range of the data, with some air around it; data that are
// never negative get no negative air, and an axis that nearly reaches zero does.
func newScale(least, most float64) scale {
	s := scale{}
	span := most/2 - least/2 // half of it: the whole may overflow
	size := max(math.Abs(least), math.Abs(most))
	switch {
	case size < 1e-290:
		least, most, size = -1, 1, 1
	case span <= size*1e-15:
		least = max(least-math.Abs(least)*0.05, -math.MaxFloat64)
		most = min(most+math.Abs(most)*0.05, math.MaxFloat64)
	case span < size*5e-6:
		s.offset = roundTo(least, 2*span)
		size = max(math.Abs(least-s.offset), math.Abs(most-s.offset))
	}
	if size >= 1e6 || size < 1e-3 {
		s.power = 3 * int(math.Floor(math.Log10(size)/3))
	}
	lo, hi := s.of(least), s.of(most)
	air := (hi - lo) * 0.06
	s.lo, s.hi = lo-air, hi+air
	if s.offset == 0 && lo >= 0 && (s.lo < 0 || lo < hi/4) {
		s.lo = 0
	}
	if s.offset == 0 && hi <= 0 && (s.hi > 0 || hi > lo/4) {
		s.hi = 0
	}
	return s
}

// roundTo rounds v down to a round number, coarse against span.
func roundTo(v, span float64) float64 {
	step := math.Pow(10, math.Ceil(math.Log10(span)))
	return math.Floor(v/step) * step
}

// setTicks puts round ticks on the axis: about five, at most `most`, and at least four where most allows it; the axis
// is made a little longer where it just misses the fourth.
func (s *scale) setTicks(most int) {
	best, bestScore := steps{}, math.Inf(1)
	from := int(math.Floor(math.Log10((s.hi - s.lo) / 10)))
	for exp := from; exp <= from+2; exp++ {
		for _, m := range []struct{ by, dislike float64 }{{1, 0}, {2, 0}, {2.5, 1.2}, {5, 0}} {
			t := s.stepsOf(m.by*math.Pow(10, float64(exp)), min(most, 4))
			t.digits = max(0, -exp)
			if m.by == 2.5 {
				t.digits = max(0, 1-exp)
			}
			n := t.last - t.first + 1
			score := math.Abs(n-5) + m.dislike + 4*t.grown
			if n <= float64(most) && score < bestScore {
				best, bestScore = t, score
			}
		}
	}
	s.lo, s.hi = min(s.lo, best.first*best.step), max(s.hi, best.last*best.step)
	s.ticks = nil
	for k := best.first; k <= best.last; k++ {
		s.ticks = append(s.ticks, tick{k * best.step, tickLabel(k*best.step, best.digits)})
	}
}

// steps are ticks at first × step … last × step, for which the axis grows by a part of its length.
type steps struct {
	step, first, last, grown float64
	digits                   int
}

// stepsOf gives the multiples of step on the axis, with the nearest ones outside
// it added until there are at least so many.
func (s *scale) stepsOf(step float64, least int) steps {
	first, last := math.Ceil(s.lo/step-1e-9), math.Floor(s.hi/step+1e-9)
	for last-first+1 < float64(least) {
		if (last+1)*step-s.hi <= s.lo-(first-1)*step || (s.lo >= 0 && first < 1) {
			last++
		} else {
			first--
		}
	}
	grown := max(0, s.lo-first*step) + max(0, last*step-s.hi)
	return steps{step: step, first: first, last: last, grown: grown / (s.hi - s.lo)}
}

// tickLabel writes a tick's number with a proper minus sign.
func tickLabel(v float64, digits int) string {
	label := strconv.FormatFloat(v, 'f', digits, 64)
	if strings.Trim(label, "-0.") == "" {
		return strings.TrimPrefix(label, "-")
	}
	return strings.Replace(label, "-", "−", 1)
}

// labels are the tick labels, bottom to top.
func (s *scale) labels() []string {
	return lists.Mapped(s.ticks, func(t tick) string { return t.label })
}

// axisLabel is the axis label with its unit, and with what was taken off the tick
// labels: "Break load, counted from 4000 (kgf)", "Stiffness (10⁶ N/mm)".
func axisLabel(label, unit string, s scale) string {
	if s.offset != 0 {
		from := strconv.FormatFloat(s.offset, 'g', 15, 64)
		label = strings.TrimPrefix(label+", counted from "+strings.Replace(from, "-", "−", 1), ", ")
	}
	if s.power != 0 {
		unit = strings.TrimSpace("10" + superscript(s.power) + " " + unit)
	}
	switch {
	case unit == "":
		return label
	case label == "":
		return unit
	}
	return label + " (" + unit + ")"
}

// superscript writes an exponent. The typeface has no raised minus, nought or nine, so these are written 10^-6, 10^9.
func superscript(n int) string {
	plain := strconv.Itoa(n)
	if strings.ContainsAny(plain, "-09") {
		return "^" + plain
	}
	var b strings.Builder
	for _, d := range plain {
		b.WriteRune([]rune("⁰¹²³⁴⁵⁶⁷⁸⁹")[d-'0'])
	}
	return b.String()
}
