package planning

import (
	"context"
	"fmt"
	"io"
	"math"

	"breakbook/cmd/measure/counted"
	"breakbook/models/compare"
	"breakbook/models/design"
	"breakbook/models/dist"
	"breakbook/models/mixed"
	"breakbook/models/plan"
	"breakbook/models/resample"
	"breakbook/models/verdict"
)

// givenCase is a plan with a number of specimens for every level, and what is worth having.
type givenCase struct {
	name   string
	n      []int
	worth  float64 // in kgf; the spread is 30 kgf
	blocks *plan.Blocks
}

const givenSpread = 30.0

var givenCases = []givenCase{
	{"two levels", []int{8, 12}, 40, nil},
	{"two levels, far apart", []int{5, 25}, 40, nil},
	{"three levels", []int{6, 10, 18}, 45, nil},
	{"four levels", []int{20, 12, 12, 8}, 45, nil},
	{"levels of whole boards of 4", []int{16, 32}, 60, &plan.Blocks{SD: 20, Each: 4, Whole: []bool{true}}},
	{"within boards of 2", []int{18, 28}, 30, &plan.Blocks{SD: 20, Each: 1, Whole: []bool{false}}},
	{"within boards of 4", []int{12, 20}, 40, &plan.Blocks{SD: 15, Each: 2, Whole: []bool{false}}},
}

// givenPart sets the chance of each answer that plan … with 8 none, 12 pair promises beside how often a comparison
// of series of these numbers gives it.
func givenPart(ctx context.Context, out io.Writer, series int, seed uint64) error {
	fmt.Fprintf(out, "%d series a row, of the pair told least; spread %g kgf, 95 %% confidence; told / came true, in "+
		"%%; the\n"+
		"simulation error (2 sd) is at most %.1f points\n", series, givenSpread, 100/math.Sqrt(float64(series)))
	fmt.Fprintf(out, "%-28s %-14s %6s %13s %15s %15s %15s\n", "plan", "numbers", "truth", "differs", "none worth",
		"cannot tell", "half interval")
	return rows(ctx, out, 3*len(givenCases), series, seed,
		func(ctx context.Context, i, series int, seed uint64) (string, error) {
			return givenLine(ctx, i/3, i%3, series, seed)
		})
}

// givenLine is the row of one plan with its truth: none, half of what is worth having, or all of it.
func givenLine(ctx context.Context, i, part, series int, seed uint64) (string, error) {
	c, truth := givenCases[i], float64(part)/2*givenCases[i].worth
	m := plan.Uneven{N: c.n, Delta: c.worth, SD: givenSpread, HighSD: math.NaN(), Confidence: 0.95, Wanted: 0.8,
		Blocks: c.blocks}
	size, err := m.Given()
	if err != nil {
		return "", err
	}
	pair := size.Pairs[0]
	for _, p := range size.Pairs {
		if p.Half > pair.Half {
			pair = p
		}
	}
	expected, err := m.Answers(pair.First, pair.Second, truth, c.worth)
	if err != nil {
		return "", err
	}
	seen, half, err := c.simulated(ctx, m, pair, truth, series, seed+uint64(10*i+part))
	if err != nil {
		return "", err
	}
	cell := func(a, b float64) string { return fmt.Sprintf("%6.2f /%6.2f", 100*a, 100*b) }
	return fmt.Sprintf("%-28s %-14s %6.1f %s %s %15s %7.2f /%6.2f", c.name, fmt.Sprint(c.n), truth,
		cell(expected.Differs, seen.Differs), cell(expected.None, seen.None), cell(expected.Cannot, seen.Cannot),
		expected.Half, half), nil
}

// simulated is how often series of the plan's numbers give each answer about a pair that truly stands so far apart, and
// half the interval in the mean.
func (c givenCase) simulated(ctx context.Context, m plan.Uneven, pair plan.Pair, truth float64, series int,
	seed uint64) (plan.Answers, float64, error) {
	var points [2]float64 // with boards the degrees of freedom are each series' own
	if c.blocks == nil {
		points = criticalPoints(len(c.n), float64(total(c.n)-len(c.n)))
	}
	all, err := counted.Each(ctx, series, func(ctx context.Context, at int) (givenDifference, error) {
		r := resample.Stream(seed, at)
		values, boards := make([][]float64, len(c.n)), make([][]int, len(c.n))
		for b, block := range m.Layout() {
			shift := 0.0
			if c.blocks != nil {
				shift = c.blocks.SD * r.NormFloat64()
			}
			for level, n := range block {
				mean := 0.0
				if level == pair.Second {
					mean = truth
				}
				for range n {
					values[level] = append(values[level], mean+shift+givenSpread*r.NormFloat64())
					boards[level] = append(boards[level], b)
				}
			}
		}
		return c.difference(ctx, values, boards, pair, points)
	})
	var a plan.Answers
	half := 0.0
	for _, d := range all {
		half += (d.wide.High - d.wide.Low) / 2 / float64(series)
		switch verdict.Decide(d.wide, d.narrow, c.worth) {
		case verdict.Differs, verdict.DiffersLessThanWorth:
			a.Differs += 1 / float64(series)
		case verdict.NoDifferenceWorth:
			a.None += 1 / float64(series)
		default:
			a.Cannot += 1 / float64(series)
		}
	}
	return a, half, err
}

// givenDifference is a difference with its interval and that of twice the error.
type givenDifference struct{ wide, narrow verdict.Range }

// difference is that of a pair as compare tells it: by the studentised range of all levels, or with boards by a fit
// blocked by them.
func (c givenCase) difference(ctx context.Context, values [][]float64, boards [][]int,
	pair plan.Pair, points [2]float64) (givenDifference, error) {
	if c.blocks != nil {
		return blockedDifference(ctx, values, boards)
	}
	means, err := compare.Groups(ctx, values)
	if err != nil {
		return givenDifference{}, err
	}
	i, j := pair.First, pair.Second
	diff := means.Mean[j] - means.Mean[i]
	se := math.Sqrt(means.Cov[i][i] + means.Cov[j][j] - 2*means.Cov[i][j])
	return about(diff, se, points), nil
}

// criticalPoints are those of a pair of one of k levels at 95 % confidence, and at 90 %.
func criticalPoints(k int, df float64) (points [2]float64) {
	for i, alpha := range []float64{0.05, 0.10} {
		if points[i] = dist.TQuantile(1-alpha/2, df); k > 2 {
			points[i] = dist.NewStudentisedRange(k, df).Point(alpha) / math.Sqrt2
		}
	}
	return points
}

// about is the interval about a difference, and that of twice the error.
func about(diff, se float64, points [2]float64) givenDifference {
	return givenDifference{verdict.Range{Low: diff - points[0]*se, High: diff + points[0]*se},
		verdict.Range{Low: diff - points[1]*se, High: diff + points[1]*se}}
}

// blockedDifference is that of two levels by restricted likelihood, with Satterthwaite's degrees of freedom.
func blockedDifference(ctx context.Context, values [][]float64, boards [][]int) (givenDifference, error) {
	v := design.Variable{Name: "level", Levels: []string{"first", "second"}}
	var y []float64
	var block mixed.Block
	for level, own := range values {
		for i, x := range own {
			y, v.Codes, block.Codes = append(y, x), append(v.Codes, level), append(block.Codes, boards[level][i])
		}
	}
	m := design.Model{Variables: []design.Variable{v}, Terms: []design.Term{{Factors: []design.Factor{{Variable: 0}}}}}
	f, err := mixed.Solve(ctx, y, m, []mixed.Block{block}, mixed.Restricted)
	if err != nil {
		return givenDifference{}, err
	}
	e, _ := f.Combination(ctx, []float64{0, 1})
	return about(e.Value, e.SE, criticalPoints(2, e.DF)), nil
}
