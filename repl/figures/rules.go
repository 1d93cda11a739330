package figures

import (
	"sort"

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
	type words struct {
		lines    []string
		middle   vg.Length
		low, top vg.Length
	}
	var all []words
	for _, r := range only[page.Rule](s.figure.Layers) {
		if r.Label != "" {
			all = append(all, words{lines: s.ruleLines(r.Label), middle: s.atY(s.y.of(r.Y))})
		}
	}
	sort.SliceStable(all, func(a, b int) bool { return all[a].middle > all[b].middle })
	ceiling, floor := s.data.Max.Y+s.tick*leading/2, s.data.Min.Y-s.tick*leading/2
	for i := range all { // downwards from the top
		w := &all[i]
		high := s.tick * leading * vg.Length(len(w.lines))
		w.top = min(ceiling, w.middle+high/2)
		w.low = w.top - high
		ceiling = w.low
	}
	for i := len(all) - 1; i >= 0; i-- { // and back up from the bottom
		w := &all[i]
		if up := floor - w.low; up > 0 {
			w.low, w.top = w.low+up, w.top+up
		}
		floor = w.top
	}
	for _, w := range all {
		if w.top > s.data.Max.Y+s.tick*leading/2+0.01 {
			continue
		}
		s.putDown(w.lines, s.tick, soft, s.data.Max.X+s.gap, 0, w.top)
	}
}
