package curves

import "math"

// line is the stiffness line: load = slope · (slip − zeroSlip).
type line struct {
	slope, zeroSlip float64
	from, to        float64 // slips of the crossings of 10 % and 40 %
	begin, end      int     // readings between them: begin..end-1
	short           bool    // it starts at the first reading, above 10 %
	noise           float64
}

const tenth, fourTenths = 0.10, 0.40 // of the largest load: EN 26891 (ISO 6891), from memory

// line fits the stiffness line: least squares between the crossings of 10 % and 40 % of the
// largest load (EN 26891 = ISO 6891, from memory) on the rising part. Readings are joined by
// straight pieces, the crossings lie on them, and the squares are summed along slip: a
// few readings and thousands, or a long hold at one load, then weigh the same stretch of
// slip alike. Readings at one slip count as their mean. The window ends where 40 % is
// first reached and begins where the load was last below 10 % before that; inside, no
// reading is left out for its load, so noise does not bend the line.
func (c *curve) line() (line, Reason) {
	var l line
	for l.end < c.top && c.load[l.end] < fourTenths*c.most {
		l.end++
	}
	l.begin = l.end
	for l.begin > 0 && c.load[l.begin-1] >= tenth*c.most {
		l.begin--
	}
	first := tenth * c.most
	switch {
	case l.end == 0 || l.begin == 0 && c.load[0] > stiffnessNeeds*c.most:
		return l, StartsHigh
	case l.begin == 0:
		l.short = true
		l.from, first = c.slip[0], c.load[0]
	default:
		l.from = c.crossing(l.begin, first)
	}
	l.to = c.crossing(l.end, fourTenths*c.most)
	if l.noise = c.noiseBetween(l.begin, l.end); l.noise < hair*c.most {
		l.noise = 0 // rounding
	}
	if !(l.to-l.from > 1e-12*(c.slip[c.top]-c.slip[0])) {
		return l, Upright
	}
	width := l.to - l.from
	sums := lineSums{y: first, width: width, midX: (l.from + l.to) / 2, midY: (tenth + fourTenths) / 2 * c.most}
	sums.x = sums.at(l.from)
	for i := l.begin; i < l.end; {
		x, y, n := c.slip[i], 0., 0
		for ; i < l.end && c.slip[i] == x; i++ {
			n++
			y += (c.load[i] - y) / float64(n)
		}
		sums.to(x, y)
	}
	sums.to(l.to, fourTenths*c.most)
	l.slope = 12 * sums.xy / width
	if !(l.slope*width > hair*c.most) { // less is rounding
		return l, NotRising
	}
	l.zeroSlip = sums.midX - (sums.midY+sums.area)/l.slope
	return l, ""
}

// crossing is the slip at which the piece that ends at reading i reaches a load between
// its ends.
func (p path) crossing(i int, load float64) float64 {
	t := (load - p.load[i-1]) / (p.load[i] - p.load[i-1])
	return p.slip[i-1] + t*(p.slip[i]-p.slip[i-1])
}

// lineSums integrates along straight pieces, slip counted from the middle of the window in
// widths of it, load from midY.
type lineSums struct {
	width, midX, midY float64
	x, y              float64 // the last corner; x as counted here
	area, xy          float64 // ∫(y − midY) dx and ∫x(y − midY) dx
}

func (s *lineSums) at(slip float64) float64 { return (slip - s.midX) / s.width }

// to adds the piece to the next corner; Simpson's rule is exact for the product of two lines.
func (s *lineSums) to(slip, y float64) {
	x0, y0, x1, y1 := s.x, s.y-s.midY, s.at(slip), y-s.midY
	s.area += (x1 - x0) * (y0 + y1) / 2
	s.xy += (x1 - x0) * (x0*y0 + (x0+x1)*(y0+y1) + x1*y1) / 6
	s.x, s.y = x1, y
}

// noiseBetween estimates the sd of one load reading from how far each lies from the
// straight line between its neighbours (Gasser, Sroka & Jennen-Steinmetz 1986, the
// pseudo-residuals); 0 with fewer than five readings, which cannot tell noise from shape.
func (p path) noiseBetween(begin, end int) float64 {
	if end-begin < fewest {
		return 0
	}
	sum := 0.
	for i := begin + 1; i < end-1; i++ {
		t := 0.5
		if wide := p.slip[i+1] - p.slip[i-1]; wide > 0 {
			t = (p.slip[i] - p.slip[i-1]) / wide
		}
		e := p.load[i] - p.load[i-1] - t*(p.load[i+1]-p.load[i-1])
		sum += e * e / (1 + t*t + (1-t)*(1-t))
	}
	return math.Sqrt(sum / float64(end-begin-2))
}
