package session

import (
	"cmp"
	"context"
	"math"
	"slices"

	"breakbook/frames"
	"breakbook/models/design"
	"breakbook/repl/page"
	"breakbook/repl/say"
)

const (
	// LeastStrength is the strength from which two factors are listed as having varied
	// together, where it is also past twice (squared) what chance gives. Common practice,
	// no source.
	LeastStrength = 0.5
	pastChance    = 2
)

// Association is two factors that changed together.
type Association struct {
	First, Second string
	Strength      float64
}

// Associations lists the pairs of factors that these specimens hardly distinguish: each
// column the analysis knows of, with each other and with every other factor of the series that is
// not made of it, the strongest first.
func (k *Call) Associations(s *Sample, response string, known []string) []Association {
	others := slices.Clone(known)
	for _, c := range s.Whole.Columns() {
		outcome := c.Role == frames.Specimen || c.Role == frames.Weight || OutOfTest(c) != ""
		if c.Name != response && !outcome && c.Kind != frames.Text && !slices.Contains(known, c.Name) {
			others = append(others, c.Name)
		}
	}
	var out []Association
	for i, first := range known {
		for _, second := range others[i+1:] {
			if s.Frame.Akin(first, second) {
				continue
			}
			if strength := s.strength(k.Context, first, second); strength >= LeastStrength {
				out = append(out, Association{first, second, strength})
			}
		}
	}
	slices.SortStableFunc(out, func(a, b Association) int { return cmp.Compare(b.Strength, a.Strength) })
	return out
}

// strength of two columns over the specimens that have both; 0 where it is no more than
// chance makes of columns with so many levels, one does not vary, or ctx has ended.
func (s *Sample) strength(ctx context.Context, first, second string) float64 {
	strength, v, n := s.association(ctx, first, second)
	if v == nil || math.IsNaN(strength) {
		return 0
	}
	if levels := max(levelsIn(v[0]), levelsIn(v[1])); strength*strength < pastChance*float64(levels-1)/float64(n-1) {
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

// AssociationRow is two factors that went together, for people.
type AssociationRow struct {
	First    string  `id:"first"`
	Second   string  `id:"second"`
	Strength float64 `id:"strength" style:"ratio"`
	Meaning  string  `id:"meaning"`
}

// AssociationTable has one row a pair of factors.
func AssociationTable(pairs []Association) page.Table {
	var rows []AssociationRow
	for _, p := range pairs {
		rows = append(rows, AssociationRow{p.First, p.Second, p.Strength, say.TogetherMeans(p.Strength)})
	}
	return page.Filled(page.Table{ID: "varied_together", Title: page.Say("What varied together"),
		Note: page.Say("strength: 0 unrelated, 1 always together; pairs under ",
			page.Num{Value: LeastStrength, Style: page.Exact}, " are left out")}, rows, nil)
}
