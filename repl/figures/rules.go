package figures

import (
	"cmp"
	"slices"

	"gonum.org/v1/plot/vg"

	"breakbook/repl/page"
)

// ruleLines wraps the words of a rule for the margin to the right of the data.
func (s *sheet) ruleLines(label string) []string {
	return s.block(label, s.tick, (s.size.X-2*s.margin)*0.2, 3)
}

// layRuleRoom keeps a margin free for the words of rules.
func (s *sheet) layRuleRoom() {
	var wide vg.Length
	for _, r := range only[page.Rule](s.figure.Layers) {
		if r.Label != "" {
			wide = max(wide, s.widest(s.ruleLines(r.Label), s.tick))
		}
	}
	if wide > 0 {
		s.data.Max.X -= wide + s.gap
	}
}

// layRules writes each rule's words level with it; words that would overlap are
// moved apart, and those that find no room at all are left to the caption.
func (s *sheet) layRules() {
	var all []named
	for _, r := range only[page.Rule](s.figure.Layers) {
		if r.Label != "" {
			lines := s.ruleLines(r.Label)
			all = append(all, named{lines: lines, at: s.atY(s.y.of(r.Y)),
				high: s.tick * leading * vg.Length(len(lines))})
		}
	}
	slices.SortStableFunc(all, func(a, b named) int { return cmp.Compare(b.at, a.at) })
	ceiling, floor := s.data.Max.Y+s.tick*leading/2, s.data.Min.Y-s.tick*leading/2
	moveApart(all, floor, ceiling, 0)
	for _, w := range all {
		if w.top > s.data.Max.Y+s.tick*leading/2+0.01 {
			continue
		}
		s.putDown(w.lines, s.tick, soft, s.data.Max.X+s.gap, w.top)
	}
}
