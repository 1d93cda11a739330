package figures

import (
	"context"
	"math"
	"slices"

	"gonum.org/v1/plot/vg"

	"breakbook/repl/page"
)

// place gives every specimen and every interval its place on the sheet. On a level
// axis the specimens are moved apart sideways and the intervals stand beside them.
func (s *sheet) place() ([]specimen, []interval) {
	var all []specimen
	var xs []float64
	for _, l := range s.figure.Layers {
		p, ok := l.(page.Points)
		if !ok {
			continue
		}
		for i := range p.X {
			s.heed()
			m := specimen{faint: p.Faint, at: vg.Point{X: s.atX(s.x.of(p.X[i])), Y: s.atY(s.y.of(p.Y[i]))}}
			if p.Looks != nil {
				m.look = p.Looks[i]
			}
			all = append(all, m)
			xs = append(xs, p.X[i])
		}
	}
	s.mark = s.radius(len(all))
	beside := vg.Length(0)
	if len(s.figure.X.Levels) > 0 {
		beside = s.spread(all, xs)
	}
	s.countHidden(all)
	return all, s.placeIntervals(beside, len(all) > 0 && !s.behind())
}

// spread moves the specimens of each level apart, with smaller marks where they
// need more room than the level has, and gives how far right of the level's middle
// an interval stands clear of them. Specimens and interval together are centred.
func (s *sheet) spread(all []specimen, xs []float64) vg.Length {
	step := s.atX(1) - s.atX(0)
	abreast := s.abreast()
	if s.behind() {
		abreast = 0
	}
	room := s.capWidth()*2 + s.gap
	if abreast == 0 {
		room = 0
	}
	side := room * vg.Length(abreast)
	if side > step*0.4 {
		side = step * 0.4
	}
	reach := (step*0.9 - side) / 2
	groups := groupByX(s.ctx, xs)
	var dx []vg.Length
	for _, r := range []vg.Length{1, 0.85, 0.72, 0.6, 0.5, 0.4, 0} {
		mark := max(s.mark*r, vg.Points(leastMark))
		var ok bool
		clear := vg.Length(0)
		if s.behind() && s.abreast() > 0 {
			clear = s.capWidth() + mark
		}
		if dx, ok = s.swarms(all, groups, mark, reach-mark, clear, r == 0); ok {
			s.mark = mark
			break
		}
	}
	left, right := s.mark, s.mark
	for i := range all {
		left, right = max(left, s.mark-dx[i]), max(right, s.mark+dx[i])
	}
	shift := vg.Length(0)
	if abreast > 0 && len(all) > 0 {
		shift = (left - right - side) / 2
	}
	for i := range all {
		all[i].at.X += dx[i] + shift
	}
	return right + shift + side/vg.Length(max(1, abreast))/2
}

// crowdNear is how far up and down, in radii of a mark, the specimens of a crowd count that
// say how wide it is at a height.
const crowdNear = 8

// swarms places the specimens of every level, with clear kept free on either side of the
// middle for a mean; crowded gives up on keeping them clear of each other and of it.
func (s *sheet) swarms(all []specimen, groups [][]int, mark, reach, clear vg.Length, crowded bool) ([]vg.Length, bool) {
	out := make([]vg.Length, len(all))
	for _, g := range groups {
		y := make([]float64, len(g))
		for j, i := range g {
			y[j] = float64(all[i].at.Y)
		}
		dx, ok := swarm(s.ctx, y, float64(mark)*2.2, float64(reach), float64(clear))
		if !ok {
			if !crowded {
				return nil, false
			}
			dx = crowd(s.ctx, y, math.Max(float64(reach), 0), float64(mark)*crowdNear)
		}
		for j, i := range g {
			out[i] = vg.Length(dx[j])
		}
	}
	return out, true
}

// groupByX gathers the indices of equal x, lowest x first.
func groupByX(ctx context.Context, xs []float64) [][]int {
	order := ordered(ctx, len(xs), func(a, b int) bool { return xs[a] < xs[b] })
	var groups [][]int
	for n, i := range order {
		if n == 0 || xs[i] != xs[order[n-1]] {
			groups = append(groups, nil)
		}
		last := len(groups) - 1
		groups[last] = append(groups[last], i)
	}
	return groups
}

// behind tells whether the specimens stand back, so that the intervals are drawn over them.
func (s *sheet) behind() bool {
	return slices.ContainsFunc(s.figure.Layers, func(l page.Layer) bool {
		p, ok := l.(page.Points)
		return ok && p.Faint
	})
}

// abreast is how many intervals stand side by side at one x, at most.
func (s *sheet) abreast() int {
	var xs []float64
	for _, l := range s.figure.Layers {
		if v, ok := l.(page.Interval); ok {
			xs = append(xs, v.X)
		}
	}
	most := 0
	for _, g := range groupByX(s.ctx, xs) {
		most = max(most, len(g))
	}
	return most
}

// placeIntervals puts intervals that share an x side by side: beside the specimens
// where there are some, else around the level's middle. With a key and no specimens
// they have the colour and shape of their look; else they are dark.
func (s *sheet) placeIntervals(beside vg.Length, withSpecimens bool) []interval {
	var layers []page.Interval
	var xs []float64
	for _, l := range s.figure.Layers {
		if v, ok := l.(page.Interval); ok {
			layers, xs = append(layers, v), append(xs, v.X)
		}
	}
	apart := s.capWidth()*2 + s.gap*0.5
	if !withSpecimens {
		apart += s.gap
	}
	if len(s.figure.X.Levels) > 0 {
		apart = min(apart, (s.atX(1)-s.atX(0))*0.8/vg.Length(max(1, s.abreast())))
		if withSpecimens {
			apart = min(apart, (s.atX(1)-s.atX(0))*0.4/vg.Length(max(1, s.abreast())))
		}
	}
	out := make([]interval, len(layers))
	for _, g := range groupByX(s.ctx, xs) {
		for j, i := range g {
			dx := vg.Length(0)
			switch {
			case len(s.figure.X.Levels) == 0:
			case withSpecimens:
				dx = beside + apart*vg.Length(j)
			default:
				dx = apart * (vg.Length(j) - vg.Length(len(g)-1)/2)
			}
			v := layers[i]
			low, high := s.y.of(v.Low), s.y.of(v.High)
			out[i] = interval{x: s.atX(s.x.of(v.X)) + dx, mean: s.atY(s.y.of(v.Mean)),
				low: s.atY(max(low, s.y.lo)), high: s.atY(min(high, s.y.hi)), below: low < s.y.lo, above: high > s.y.hi,
				interlook: lookOfAnswer(v.Held)}
			if !withSpecimens && len(s.figure.Keys) > 0 {
				out[i].interlook = interlook{colourOf(v.Look), edgeOf(v.Look), edgeOf(v.Look), shapeOf(v.Look), false, 1}
			}
		}
	}
	return out
}

// countHidden finds the marks that lie at the very place of an earlier one of the
// same look.
func (s *sheet) countHidden(all []specimen) {
	type markPlace struct{ x, y, look int }
	seen := make(map[markPlace]int)
	for i := range all {
		s.heed()
		m := &all[i]
		at := markPlace{int(math.Round(float64(m.at.X) * 4)), int(math.Round(float64(m.at.Y) * 4)), m.look}
		m.hidden = seen[at]
		seen[at]++
	}
}
