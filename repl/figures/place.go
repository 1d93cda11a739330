package figures

import (
	"context"
	"math"

	"gonum.org/v1/plot/vg"

	"breakbook/models/lists"
	"breakbook/repl/page"
)

// place gives every specimen and every interval its place on the sheet. On a level
// axis the specimens are moved apart sideways and the intervals stand among them.
func (s *sheet) place() ([]specimen, []interval) {
	all, xs := make([]specimen, 0, min(s.specimens(), mostMarks)), []float64(nil)
	if s.crowded() {
		s.cells, all, xs = s.thin()
	} else {
		s.eachSpecimen(func(m specimen, x float64) { all, xs = append(all, m), append(xs, x) })
	}
	s.mark = s.radius(len(all))
	if len(s.figure.X.Levels) > 0 {
		s.spread(all, xs)
	} else if s.tied() {
		s.moveTies(all)
	}
	s.countHidden(all)
	return all, s.placeIntervals(s.specimens() > 0)
}

// apart is how far the intervals stand from each other that share a level.
func (s *sheet) apart(withSpecimens bool) vg.Length {
	apart := s.capWidth()*2 + s.gap*0.5
	if !withSpecimens {
		apart += s.gap
	}
	if len(s.figure.X.Levels) > 0 {
		apart = min(apart, (s.atX(1)-s.atX(0))*0.8/vg.Length(max(1, s.abreast())))
	}
	return apart
}

// spread moves the specimens of each level apart, with smaller marks where they need more room
// than the level has, and keeps its middle free for the interval as long as that leaves room.
func (s *sheet) spread(all []specimen, xs []float64) {
	step := s.atX(1) - s.atX(0)
	abreast := vg.Length(s.abreast())
	groups := groupByX(s.ctx, xs)
	var dx []vg.Length
	for _, r := range []vg.Length{1, 0.85, 0.72, 0.6, 0.5, 0.4, 0} {
		mark := max(s.mark*r, vg.Points(leastMark))
		clear := vg.Length(0)
		if abreast > 0 {
			clear = s.apart(true)*(abreast-1)/2 + s.capWidth() + mark
		}
		var ok bool
		if dx, ok = s.swarms(all, groups, mark, step*0.45-mark, clear, r == 0); ok {
			s.mark = mark
			break
		}
	}
	for i := range all {
		all[i].at.X += dx[i]
	}
}

// crowdNear is how far up and down, in radii of a mark, the specimens of a crowd count that
// say how wide it is at a height.
const crowdNear = 8

// swarms places the specimens of every level, with clear kept free on either side of the
// middle for a mean; crowded gives up on keeping them clear of each other and of it.
func (s *sheet) swarms(all []specimen, groups [][]int, mark, reach, clear vg.Length, crowded bool) ([]vg.Length, bool) {
	out := make([]vg.Length, len(all))
	for _, g := range groups {
		y := lists.Mapped(g, func(i int) float64 { return float64(all[i].at.Y) })
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

// abreast is how many intervals stand side by side at one x, at most.
func (s *sheet) abreast() int {
	xs := lists.Mapped(only[page.Interval](s.figure.Layers), func(v page.Interval) float64 { return v.X })
	most := 0
	for _, g := range groupByX(s.ctx, xs) {
		most = max(most, len(g))
	}
	return most
}

// placeIntervals puts intervals that share an x side by side around it. With a key and no specimens
// they have the colour and shape of their look; else they are dark.
func (s *sheet) placeIntervals(withSpecimens bool) []interval {
	layers := only[page.Interval](s.figure.Layers)
	xs := lists.Mapped(layers, func(v page.Interval) float64 { return v.X })
	apart := s.apart(withSpecimens)
	out := make([]interval, len(layers))
	for _, g := range groupByX(s.ctx, xs) {
		for j, i := range g {
			dx := vg.Length(0)
			if len(s.figure.X.Levels) > 0 {
				dx = apart * (vg.Length(j) - vg.Length(len(g)-1)/2)
			}
			v := layers[i]
			low, high := s.y.of(v.Low), s.y.of(v.High)
			out[i] = interval{x: s.atX(s.x.of(v.X)) + dx, mean: s.atY(s.y.of(v.Mean)),
				low: s.atY(max(low, s.y.lo)), high: s.atY(min(high, s.y.hi)), below: low < s.y.lo, above: high > s.y.hi,
				interlook: lookOfAnswer(v.Held)}
			if colour, edge := colourOf(v.Look), edgeOf(v.Look); !withSpecimens && len(s.figure.Keys) > 0 {
				out[i].interlook = interlook{colour, edge, edge, shapeOf(v.Look), false, 1}
			}
		}
	}
	return out
}

// countHidden finds the marks that lie at the very place of an earlier one of the same look.
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
