package figures

import (
	"math"
	"slices"
	"strings"

	"breakbook/repl/page"
	"breakbook/repl/render"
)

// noted is the note of the figure with where its axis starts, which only the drawing knows.
func (s *sheet) noted(start string) string {
	parts := []string{render.Sentence(s.figure.Note, render.Options{}), s.crowdNote(), s.tiesNote(), start}
	return strings.Join(slices.DeleteFunc(parts, func(p string) bool { return p == "" }), "; ")
}

// startsAt says where the number axis of specimens by level starts when that is not zero: the eye takes
// lengths from its foot. Of panels it says what is pale on them.
func (s *sheet) startsAt() string {
	if len(s.panels) > 0 && !s.manyLines() {
		return "pale: specimens of the other levels"
	}
	y := s.y
	if len(s.figure.X.Levels) == 0 || s.specimens() == 0 || y.offset == 0 && y.lo <= 0 {
		return ""
	}
	low := y.offset + y.lo*math.Pow(10, float64(y.power))
	step := (y.hi - y.lo) / 100 * math.Pow(10, float64(y.power)) // to the digits that the ticks have
	digits := math.Pow(10, -math.Floor(math.Log10(step)))
	low = math.Round(low*digits) / digits
	return "the axis starts at " + render.Sentence(page.Say(page.Num{Value: low, Unit: s.figure.Y.Unit,
		Style: page.Exact}), render.Options{})
}
