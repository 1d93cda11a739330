package plan

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"breakbook/models/design"
	"breakbook/models/dist"
	"breakbook/models/linear"
	"breakbook/models/mixed"
)

// layout is a plan made up: the levels of its specimens, and their blocks.
type layout struct {
	levels [][]int // by factor
	block  []int
}

// laid makes the specimens of a plan, n a combination. Combinations of the whole factors come one after the other.
func laid(m Means, n int) layout {
	out := layout{levels: make([][]int, len(m.Levels))}
	met := map[[2]int]int{} // blocks by combination of whole factors and turn
	for c := range m.cells() {
		own, rest, whole := make([]int, len(m.Levels)), c, 0
		for i, k := range m.Levels {
			own[i], rest = rest%k, rest/k
			if m.Blocks.Whole[i] {
				whole = whole*k + own[i]
			}
		}
		for i := range n {
			key := [2]int{whole, i / m.Blocks.Each}
			if _, ok := met[key]; !ok {
				met[key] = len(met)
			}
			out.block = append(out.block, met[key])
			for f := range own {
				out.levels[f] = append(out.levels[f], own[f])
			}
		}
	}
	return out
}

// found is how often a fit blocked by the blocks shows a difference of m.Delta between the first and the
// last level of factor f, the others midway: by its test of all levels, and by the pair's own.
func found(t *testing.T, m Means, n, f, series int, draw *rand.Rand) (overall, pair float64) {
	t.Helper()
	l := laid(m, n)
	var model design.Model
	for i, k := range m.Levels {
		model.Variables = append(model.Variables, design.Variable{Codes: l.levels[i],
			Levels: []string{"a", "b", "c", "d"}[:k]})
		model.Terms = append(model.Terms, design.Term{Factors: []design.Factor{{Variable: i}}})
	}
	if len(m.Levels) == 2 {
		model.Terms = append(model.Terms, design.Term{Factors: []design.Factor{{Variable: 0}, {Variable: 1}}})
	}
	last := m.Levels[f] - 1
	y := make([]float64, len(l.block))
	for range series {
		shifts := make([]float64, slices.Max(l.block)+1)
		for b := range shifts {
			shifts[b] = m.Blocks.SD * draw.NormFloat64()
		}
		for i := range y {
			y[i] = shifts[l.block[i]] + m.SD*draw.NormFloat64()
			switch l.levels[f][i] {
			case 0:
			case last:
				y[i] += m.Delta
			default:
				y[i] += m.Delta / 2
			}
		}
		fit, err := mixed.Solve(context.Background(), y, model, []mixed.Block{{Codes: l.block}}, mixed.Restricted)
		if err != nil {
			t.Fatal(err)
		}
		a, err := fit.Anova(context.Background(), linear.EachLast)
		if err != nil {
			t.Fatal(err)
		}
		if a.Sources[f].P <= 1-m.Confidence {
			overall++
		}
		first, ok1 := fit.Weights(linear.Point{Levels: map[int]int{f: 0}})
		second, ok2 := fit.Weights(linear.Point{Levels: map[int]int{f: last}})
		if !ok1 || !ok2 {
			t.Fatal("a level cannot be told")
		}
		for i := range first {
			second[i] -= first[i]
		}
		e, _ := fit.Combination(context.Background(), second)
		if math.Abs(e.Value)/e.SE > dist.NewStudentisedRange(m.Levels[f], e.DF).Point(1-m.Confidence)/math.Sqrt2 {
			pair++
		}
	}
	return overall / float64(series), pair / float64(series)
}

// The chance promised is the chance found: seeded series laid out in blocks, judged as the
// program judges them, by a fit blocked by the blocks. Blocks differ enough for their variance to
// be estimated as zero in few series; where it is, the fit counts specimens.
func TestChanceInBlocksIsFoundBySimulation(t *testing.T) {
	if testing.Short() {
		t.Skip("a count over many draws, made without -short")
	}
	const series = 1500
	draw := rand.New(rand.NewPCG(21, 5))
	for _, c := range []struct {
		what string
		m    Means
		n, f int
	}{
		{"every block holds every level once", Means{Levels: []int{3}, Delta: 1.9, SD: 1,
			Blocks: &Blocks{SD: 2, Each: 1, Whole: []bool{false}}}, 7, 0},
		{"every block holds every level twice", Means{Levels: []int{2}, Delta: 1.3, SD: 1,
			Blocks: &Blocks{SD: 2, Each: 2, Whole: []bool{false}}}, 10, 0},
		{"a level a block", Means{Levels: []int{2}, Delta: 3.5, SD: 1,
			Blocks: &Blocks{SD: 1.8, Each: 4, Whole: []bool{true}}}, 24, 0},
		{"split, between blocks", Means{Levels: []int{2, 2}, Delta: 3.5, SD: 1,
			Blocks: &Blocks{SD: 1.8, Each: 2, Whole: []bool{true, false}}}, 12, 0},
		{"split, within blocks", Means{Levels: []int{2, 2}, Delta: 1.1, SD: 1,
			Blocks: &Blocks{SD: 1.8, Each: 2, Whole: []bool{true, false}}}, 12, 1},
	} {
		c.m.Confidence, c.m.Wanted = 0.95, 0.8
		variances, tests := c.m.variances(c.n, c.m.SD, c.m.blockSD()), c.m.tests(c.n)
		wantOverall, wantPair := tests[c.f:c.f+1].chances(c.m.Delta, variances[c.f:c.f+1])
		overall, pair := found(t, c.m, c.n, c.f, series, draw)
		for _, x := range []struct {
			what        string
			found, said float64
		}{{"overall", overall, wantOverall}, {"pair", pair, wantPair}} {
			t.Logf("%s, %s: promised %.4f, found %.4f", c.what, x.what, x.said, x.found)
			if !(math.Abs(x.found-x.said) <= 3*math.Sqrt(x.said*(1-x.said)/series)) {
				t.Errorf("%s, %s: promised %.4f, found %.4f", c.what, x.what, x.said, x.found)
			}
		}
	}
}

// Of blocks that all hold every level it does not matter how much they differ; a level
// of whole blocks never does better than by its number of blocks; blocks that are alike cost nothing.
func TestWhatBlocksCost(t *testing.T) {
	plain := Means{Levels: []int{3}, Delta: 1.5, SD: 1, HighSD: 1.2, Confidence: 0.95, Wanted: 0.8}
	with := func(b Blocks) Size {
		m := plain
		m.Blocks = &b
		s, err := m.At(12)
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	own, err := plain.At(12)
	if err != nil {
		t.Fatal(err)
	}
	spread, wide := with(Blocks{SD: 0.5, HighSD: 0.7, Each: 2, Whole: []bool{false}}),
		with(Blocks{SD: 50, HighSD: 70, Each: 2, Whole: []bool{false}})
	if spread != wide || spread.Blocks != 6 || !(spread.Chance < own.Chance && spread.Chance > own.Chance-0.02) {
		t.Errorf("spread over the levels: %+v and %+v, without blocks %+v", spread, wide, own)
	}
	whole := with(Blocks{SD: 0.5, HighSD: 0.7, Each: 4, Whole: []bool{true}})
	if whole.Blocks != 9 || whole.N != 36 || !(whole.Chance < spread.Chance-0.1) ||
		!(whole.ChanceHighSpread < whole.Chance) {
		t.Errorf("whole blocks: %+v", whole)
	}
	alike := with(Blocks{Each: 4, Whole: []bool{true}})
	if alike.Blocks = 0; alike != own {
		t.Errorf("blocks that are alike: %+v, without %+v", alike, own)
	}
	// With one specimen a block the block is the specimen: sd √(1 + 0.75²) = 1.25.
	one := with(Blocks{SD: 0.75, HighSD: 0.9, Each: 1, Whole: []bool{true}})
	m := plain
	m.SD, m.HighSD = 1.25, math.Hypot(1.2, 0.9)
	same, _ := m.At(12)
	if !(math.Abs(one.Chance-same.Chance) <= 1e-12) || !(math.Abs(one.Detectable-same.Detectable) <= 1e-9) ||
		!(math.Abs(one.ChanceHighSpread-same.ChanceHighSpread) <= 1e-12) {
		t.Errorf("one specimen a block: %+v, want %+v", one, same)
	}
}

func TestPlansInBlocksAreTheLeast(t *testing.T) {
	m := Means{Levels: []int{2}, Delta: 2.5, SD: 1, HighSD: 1.2, Confidence: 0.95, Wanted: 0.8,
		Blocks: &Blocks{SD: 1, HighSD: 1.4, Each: 3, Whole: []bool{true}}}
	s, err := m.Least()
	if err != nil {
		t.Fatal(err)
	}
	less, err := m.At(s.PerLevel - 3)
	if err != nil || s.PerLevel%3 != 0 || s.Blocks != 2*s.PerLevel/3 || s.Chance < 0.8 || less.Chance >= 0.8 {
		t.Errorf("%+v, a block a level fewer %+v, %v", s, less, err)
	}
	var e *Error
	if _, err = m.At(s.PerLevel + 1); !errors.As(err, &e) || e.Code != "uneven-blocks" {
		t.Errorf("a piece of a block: %v", err)
	}
	if _, err = m.At(3); !errors.As(err, &e) || e.Code != "too-few-specimens" {
		t.Errorf("one block a level: %v", err)
	}
	m.Delta = 0.01
	if _, err = m.Least(); !errors.As(err, &e) || e.Code != "out-of-reach" {
		t.Errorf("out of reach: %v", err)
	}
}
