package figures

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/plot/vg"

	"breakbook/repl/page"
)

// nearEnd is how far from the right edge of the data, as a share of their width, a line may end whose
// name stands beside its end.
const nearEnd = 0.3

// named are words with the height that they should stand at.
type named struct {
	entry    *keyEntry // of the key; nil for the words of a rule
	lines    []string
	at, high vg.Length // the middle wished, and how high the words are
	top      vg.Length
}

// moveApart gives words, the highest first, tops as near to the middles wished as they have room for between floor
// and ceiling, so far from each other: downwards from the ceiling, and back up from the floor.
func moveApart(all []named, floor, ceiling, gap vg.Length) {
	for i := range all {
		all[i].top = min(ceiling, all[i].at+all[i].high/2)
		ceiling = all[i].top - all[i].high - gap
	}
	for i := range slices.Backward(all) {
		all[i].top = max(all[i].top, floor+all[i].high)
		floor = all[i].top + gap
	}
}

// atLineEnds sets the entries of a key beside the data level with the ends of their lines; false, with
// nothing set, where an entry has no line of its own, a line ends far off, or the names have no room there.
func (s *sheet) atLineEnds() bool {
	var all []named
	for i := range s.key.entries {
		e := &s.key.entries[i]
		end, ok := s.lineEnd(e.key)
		if !ok {
			return false
		}
		all = append(all, named{entry: e, lines: e.lines, at: end, high: s.tick * leading * vg.Length(len(e.lines))})
	}
	slices.SortStableFunc(all, func(a, b named) int { return cmp.Compare(b.at, a.at) })
	ceiling := s.data.Max.Y
	if n := len(s.key.title); n > 0 {
		ceiling -= s.tick*leading*vg.Length(n) + s.gap*0.5
	}
	moveApart(all, s.data.Min.Y, ceiling, s.gap*0.2)
	for _, n := range all {
		if off := n.top - n.high/2 - n.at; off > 2.5*s.tick || off < -2.5*s.tick {
			return false
		}
	}
	if len(all) > 0 && all[0].top > s.data.Max.Y {
		return false
	}
	s.putDown(s.key.title, s.tick, ink, s.key.left, s.data.Max.Y)
	for _, n := range all {
		n.entry.sample = vg.Point{X: s.key.left + s.sampleWidth()/2, Y: n.top - n.high/2}
		s.putDown(n.lines, s.tick, ink, s.key.left+s.sampleWidth()+s.gap, n.top)
	}
	return true
}

// lineEnd is the height at which the one line of a key's look ends at the right; false where it has none,
// more than one, or one that ends far from the edge.
func (s *sheet) lineEnd(k page.Key) (vg.Length, bool) {
	if k.Sample != page.SampleOfLook || len(s.figure.X.Levels) > 0 {
		return 0, false
	}
	lines, x, y := 0, math.Inf(-1), 0.0
	for _, line := range only[page.Line](s.figure.Layers) {
		if line.Look != k.Look || len(line.X) == 0 {
			continue
		}
		lines++
		for i := range line.X {
			if line.X[i] >= x {
				x, y = line.X[i], line.Y[i]
			}
		}
	}
	if at := s.atX(s.x.of(x)); lines != 1 || s.data.Max.X-at > nearEnd*(s.data.Max.X-s.data.Min.X) {
		return 0, false
	}
	return s.atY(s.y.of(y)), true
}
