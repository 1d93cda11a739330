package figures

import (
	"slices"

	"gonum.org/v1/plot/vg"

	"breakbook/repl/page"
)

// barWeighs is how many marks the bar of an interval, or a line, counts as that a name would cover.
const barWeighs = 3

// nameOdd writes the names of the specimens that have one beside their marks: on the side where they cover
// fewest others, and not where they would leave the data or cover another name.
func (s *sheet) nameOdd(all []specimen, bars []interval) {
	if !slices.ContainsFunc(all, func(m specimen) bool { return m.name != "" }) {
		return
	}
	size := s.tick * 0.9
	var written []vg.Rectangle
	lines := s.lines()
	for _, m := range all {
		if m.name == "" {
			continue
		}
		name := s.clip(s.clean(m.name), size, (s.data.Max.X-s.data.Min.X)*0.4)
		at, wide, r := s.onSheet(m.at), s.width(name, size), s.mark*1.6
		best, fewest := vg.Rectangle{}, -1
		for _, low := range []vg.Point{
			{X: at.X + r, Y: at.Y - size*0.5}, {X: at.X - r - wide, Y: at.Y - size*0.5},
			{X: at.X - wide/2, Y: at.Y + r}, {X: at.X - wide/2, Y: at.Y - r - size},
		} {
			if low.Y > at.Y-size && low.Y < at.Y { // beside a mark near the axis: no lower than the data
				low.Y = max(low.Y, s.data.Min.Y)
			}
			box := vg.Rectangle{Min: low, Max: vg.Point{X: low.X + wide, Y: low.Y + size*(ascent+descent)}}
			if !within(box, s.data) || covers(box, written) {
				continue
			}
			hidden := 0
			for _, o := range all {
				if p := s.onSheet(o.at); p.X+s.mark > box.Min.X && p.X-s.mark < box.Max.X && p.Y+s.mark > box.Min.Y &&
					p.Y-s.mark < box.Max.Y {
					hidden++
				}
			}
			for _, v := range bars {
				a, b := s.onSheet(vg.Point{X: v.x, Y: v.low}), s.onSheet(vg.Point{X: v.x, Y: v.high})
				if bar := (vg.Rectangle{Min: a, Max: b}); covers(box, []vg.Rectangle{bar}) {
					hidden += barWeighs
				}
			}
			for _, line := range lines {
				if passes(line, box) {
					hidden += barWeighs
				}
			}
			if fewest < 0 || hidden < fewest {
				best, fewest = box, hidden
			}
		}
		if fewest >= 0 {
			s.put(name, size, soft, best.Min.X, 0, best.Min.Y+size*descent)
			written = append(written, best)
		}
	}
}

// lines are the lines of the figure by their places on the sheet.
func (s *sheet) lines() (all [][]vg.Point) {
	for _, l := range only[page.Line](s.figure.Layers) {
		var line []vg.Point
		for _, p := range s.points(l.X, l.Y) {
			line = append(line, s.onSheet(vg.Point{X: s.atX(p.X), Y: s.atY(p.Y)}))
		}
		all = append(all, line)
	}
	return all
}

// passes reports whether a line passes through a rectangle: whether some part is left of one of its pieces once what
// lies beyond each side is cut off.
func passes(line []vg.Point, r vg.Rectangle) bool {
	for i := 1; i < len(line); i++ {
		a, b := line[i-1], line[i]
		from, to := vg.Length(0), vg.Length(1)
		for _, side := range [][2]vg.Length{{b.X - a.X, r.Max.X - a.X}, {a.X - b.X, a.X - r.Min.X},
			{b.Y - a.Y, r.Max.Y - a.Y}, {a.Y - b.Y, a.Y - r.Min.Y}} { // part·side[0] may be side[1] at most
			switch {
			case side[0] > 0:
				to = min(to, side[1]/side[0])
			case side[0] < 0:
				from = max(from, side[1]/side[0])
			case side[1] < 0:
				from = to + 1
			}
		}
		if from <= to {
			return true
		}
	}
	return false
}

// within reports whether one rectangle lies inside another.
func within(r, in vg.Rectangle) bool {
	return r.Min.X >= in.Min.X && r.Max.X <= in.Max.X && r.Min.Y >= in.Min.Y && r.Max.Y <= in.Max.Y
}

// covers reports whether a rectangle covers a part of any of the others.
func covers(r vg.Rectangle, others []vg.Rectangle) bool {
	for _, o := range others {
		if r.Min.X < o.Max.X && o.Min.X < r.Max.X && r.Min.Y < o.Max.Y && o.Min.Y < r.Max.Y {
			return true
		}
	}
	return false
}
