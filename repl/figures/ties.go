package figures

import (
	"slices"

	"gonum.org/v1/plot/vg"

	"breakbook/repl/page"
)

// tied reports whether specimens of different looks lie in one place that are to be drawn side by side. Panels
// have one look each, and of very many specimens places are counted.
func (s *sheet) tied() bool {
	if len(s.figure.X.Levels) > 0 || s.crowded() || s.panelled() {
		return false
	}
	looks := make(map[[2]float64]int)
	for _, p := range only[page.Points](s.figure.Layers) {
		if !p.Apart || p.Looks == nil {
			continue
		}
		for i, x := range p.X {
			s.heed()
			at := [2]float64{x, p.Y[i]}
			if look, ok := looks[at]; ok && look != p.Looks[i] {
				return true
			}
			looks[at] = p.Looks[i]
		}
	}
	return false
}

// moveTies puts specimens of different looks in one place side by side about it, those of one look together.
func (s *sheet) moveTies(all []specimen) {
	looks := make(map[vg.Point][]int)
	for _, m := range all {
		s.heed()
		if m.apart && !slices.Contains(looks[m.at], m.look) {
			looks[m.at] = append(looks[m.at], m.look)
			slices.Sort(looks[m.at])
		}
	}
	for i := range all {
		if m := &all[i]; m.apart {
			here := looks[m.at]
			m.at.X += (vg.Length(slices.Index(here, m.look)) - vg.Length(len(here)-1)/2) * 2.2 * s.mark
		}
	}
}

// tiesNote says so on the picture.
func (s *sheet) tiesNote() string {
	if !s.tied() {
		return ""
	}
	return "side by side: marks of different levels that lie in one place"
}
