package kernel

import (
	"context"
	"math"
	"slices"

	"breakbook/frames"
	"breakbook/models/design"
	"breakbook/models/together"
	"breakbook/repl/page"
	"breakbook/repl/say"
)

const (
	// leastStrength is the strength from which two factors are listed as having varied
	// together, where it is also past twice (squared) what chance gives. Common practice,
	// no source.
	leastStrength = 0.5
	pastChance    = 2
)

// pair is two factors that went together.
type pair struct {
	first, second string
	strength      float64
}

// wentTogether lists the pairs of factors that these specimens tell apart badly: each
// column the analysis knows of, with each other and with every other factor of the series,
// the strongest first.
func (k *call) wentTogether(s *sample, response string, known []string) []pair {
	others := slices.Clone(known)
	for _, c := range s.whole.Columns() {
		outcome := c.Role == frames.Specimen || c.Role == frames.Load || c.Role == frames.Failure || c.Role == frames.Weight
		if c.Name != response && !outcome && c.Kind != frames.Text && !slices.Contains(known, c.Name) {
			others = append(others, c.Name)
		}
	}
	var out []pair
	for i, first := range known {
		for _, second := range others[i+1:] {
			if strength := s.strength(k.ctx, first, second); strength >= leastStrength {
				out = append(out, pair{first, second, strength})
			}
		}
	}
	slices.SortStableFunc(out, func(a, b pair) int {
		switch {
		case a.strength > b.strength:
			return -1
		case a.strength < b.strength:
			return 1
		}
		return 0
	})
	return out
}

// strength of two columns over the specimens that have both; 0 where it is no more than
// chance makes of columns with so many levels, one does not vary, or ctx has ended.
func (s *sample) strength(ctx context.Context, first, second string) float64 {
	gone, err := s.frame.MissingIn(first)
	if err != nil {
		return 0
	}
	other, err := s.frame.MissingIn(second)
	if err != nil {
		return 0
	}
	keep := make([]bool, len(gone))
	n := 0
	for i := range keep {
		if keep[i] = !gone[i] && !other[i]; keep[i] {
			n++
		}
	}
	if n < 3 {
		return 0
	}
	both := &sample{frame: s.frame.Subset(ctx, keep)}
	a, err := both.variable(ctx, first)
	if err != nil {
		return 0
	}
	b, err := both.variable(ctx, second)
	if err != nil {
		return 0
	}
	strength, err := together.Strength(ctx, a, b)
	if err != nil {
		return 0
	}
	levels := max(levelsIn(a), levelsIn(b))
	if math.IsNaN(strength) || strength*strength < pastChance*float64(levels-1)/float64(n-1) {
		return 0
	}
	return strength
}

// levelsIn is how many levels occur; a number counts as two.
func levelsIn(v design.Variable) int {
	if !v.IsCategory() {
		return 2
	}
	codes := slices.Clone(v.Codes)
	slices.Sort(codes)
	return len(slices.Compact(codes))
}

func togetherTable(pairs []pair) page.Table {
	t := page.Table{ID: "varied_together", Title: page.Say("What varied together"), Columns: []page.Column{{ID: "first"}, {ID: "second"},
		{ID: "strength", Style: page.Ratio}, {ID: "meaning"}},
		Note: page.Say("strength: 0 unrelated, 1 always together; pairs under ", page.Num{Value: leastStrength, Style: page.Exact}, " are left out")}
	for _, p := range pairs {
		t.Rows = append(t.Rows, []page.Cell{page.T(p.first), page.T(p.second), page.N(p.strength), page.T(say.TogetherMeans(p.strength))})
	}
	return t
}
