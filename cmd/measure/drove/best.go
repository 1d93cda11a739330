package drove

import (
	"context"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"

	"breakbook/models/compare"
	"breakbook/models/design"
	"breakbook/models/dist"
	"breakbook/models/doubts"
	"breakbook/models/linear"
	"breakbook/models/lists"
	"breakbook/models/mixed"
	"breakbook/models/shares"
	"breakbook/models/verdict"
	"breakbook/repl/say"
)

// factorsPart is the part of false answers that is left to the factors by a search for combined terms and bends: the
// best analysis need not search, but is held to the same.
const factorsPart = 0.8

// The levels of the intervals and of what Holm's correction has to bear out.
const confidence = 0.95

// finding is what an analysis says of one factor.
type finding struct {
	answer verdict.Answer
	share  float64 // of the variation; NaN where it was not told
	p      float64 // by Holm's correction; NaN where it was not told
}

// differs reports whether the factor is told to differ, by however little.
func (t finding) differs() bool {
	return t.answer == verdict.Differs || t.answer == verdict.DiffersLessThanWorth
}

// analysis is a series as the best possible analysis takes it: it knows which factors act only together,
// which numbers act along a curve, and that boards differ, and need not look for any of it. Every factor
// asked about is in the fit, as it has to be answered too, whether it does anything or not; of two columns
// that changed together the one that did it stands for both.
type analysis struct {
	k      *Kind
	model  design.Model
	load   []float64
	blocks []mixed.Block
	ends   [][]float64 // by factor, where a number is told: its 10th and 90th percentile, the middle between
	seen   [][]int     // by factor, the levels that occur
}

// taken lays out the specimens that have everything written down.
func (k *Kind) taken(s Series) *analysis {
	a := &analysis{k: k, ends: make([][]float64, len(k.factors)), seen: make([][]int, len(k.factors))}
	var block mixed.Block
	columns := make([][]float64, len(k.factors))
	for i, joint := range s.specimens {
		if math.IsNaN(s.loads[i]) || slices.ContainsFunc(joint.x, math.IsNaN) {
			continue
		}
		for f, x := range joint.x {
			columns[f] = append(columns[f], x)
		}
		a.load = append(a.load, s.loads[i])
		if s.board != nil {
			block.Codes = append(block.Codes, s.board[i])
		}
	}
	if s.board != nil {
		a.blocks = []mixed.Block{block}
	}
	for f, one := range k.factors {
		v := design.Variable{Name: one.name, Levels: one.levels}
		if one.levels == nil {
			v.Numbers = columns[f]
			sorted := slices.Sorted(slices.Values(columns[f]))
			low, high := stat.Quantile(0.1, stat.Empirical, sorted, nil),
				stat.Quantile(0.9, stat.Empirical, sorted, nil)
			a.ends[f] = []float64{low, high}
			if slices.Contains(k.bends, one.name) {
				a.ends[f] = []float64{low, (low + high) / 2, high}
			}
		} else {
			for _, x := range columns[f] {
				v.Codes = append(v.Codes, int(x))
			}
			for l := range one.levels {
				if slices.Contains(v.Codes, l) {
					a.seen[f] = append(a.seen[f], l)
				}
			}
		}
		a.model.Variables = append(a.model.Variables, v)
		a.model.Terms = append(a.model.Terms, design.Term{Factors: []design.Factor{{Variable: f}}})
	}
	for _, name := range k.bends {
		a.model.Terms = append(a.model.Terms, design.Term{Factors: []design.Factor{{Variable: k.at(name),
			Function: design.Squared}}})
	}
	for _, pair := range k.combined {
		a.model.Terms = append(a.model.Terms, design.Term{Factors: []design.Factor{{Variable: k.at(pair[0])},
			{Variable: k.at(pair[1])}}})
	}
	return a
}

// points are where a factor is told: at its levels, or at some values of a number.
func (a *analysis) points(f int) []linear.Point {
	out := lists.Mapped(a.seen[f], func(l int) linear.Point { return linear.Point{Levels: map[int]int{f: l}} })
	for _, x := range a.ends[f] {
		out = append(out, linear.Point{Numbers: map[int]float64{f: x}})
	}
	return out
}

// settings are what a factor is told within: every point of what it is combined with.
func (a *analysis) settings(f int) []linear.Point {
	for _, pair := range a.k.combined {
		for i, name := range pair {
			if a.k.factors[f].name == name {
				return a.points(a.k.at(pair[1-i]))
			}
		}
	}
	return []linear.Point{{}}
}

// best are the answers of the best possible analysis, by factor.
func (a *analysis) best(ctx context.Context) ([]finding, error) {
	var fit *linear.Fit
	var by linear.Estimator
	if a.blocks != nil {
		m, err := mixed.SolveFew(ctx, a.load, a.model, a.blocks)
		if err != nil {
			return nil, err
		}
		fit, by = m.Fit, m
	} else {
		m, err := linear.Solve(ctx, a.load, a.model)
		if err != nil {
			return nil, err
		}
		fit, by = m, m
	}
	parted, err := a.shares(ctx, a.load)
	if err != nil {
		return nil, err
	}
	out, p := make([]finding, len(a.k.factors)), make([]float64, len(a.k.factors))
	for f := range out {
		settings := a.settings(f)
		var answers []verdict.Answer
		var contrasts [][]float64
		for _, within := range settings {
			given, weights, err := a.compared(ctx, fit, by, f, within, len(settings))
			if err != nil {
				return nil, fmt.Errorf("%s: %w", a.k.factors[f].name, err)
			}
			answers, contrasts = append(answers, given...), append(contrasts, weights...)
		}
		out[f] = finding{answer: say.Overall(answers), share: parted[f]}
		p[f] = jointly(ctx, by, contrasts)
	}
	for f, joined := range doubts.Holm(p) {
		joined = min(1, joined/factorsPart)
		out[f].p = joined
		switch answer := &out[f].answer; {
		case joined < 1-confidence || *answer == verdict.NoDifferenceWorth:
		case *answer == verdict.DiffersLessThanWorth:
			*answer = verdict.NoDifferenceWorth
		default:
			*answer = verdict.CannotTell
		}
	}
	return out, nil
}

// compared are the answers about every pair of a factor's points within a setting, with the weights of
// their differences from the first.
func (a *analysis) compared(ctx context.Context, fit *linear.Fit, by linear.Estimator, f int, within linear.Point,
	settings int) ([]verdict.Answer, [][]float64, error) {
	var weights [][]float64
	m := compare.Means{DF: fit.DF}
	for _, p := range a.points(f) {
		w, ok := fit.Weights(within.With(p))
		if !ok {
			continue // no specimen has this level in this setting
		}
		e, ok := by.Combination(ctx, w)
		if !ok {
			continue
		}
		weights, m.Mean, m.N = append(weights, w), append(m.Mean, e.Value), append(m.N, 1)
	}
	m.Cov = by.Covariance(weights)
	var from [][]float64
	for i := range weights {
		m.PairDF = append(m.PairDF, make([]float64, len(weights)))
		for j := range weights {
			if i == j {
				continue
			}
			e, _ := by.Combination(ctx, less(weights[j], weights[i]))
			m.PairDF[i][j] = e.DF
		}
		if i > 0 {
			from = append(from, less(weights[i], weights[0]))
		}
	}
	r, err := compare.AllPairs(ctx, m, compare.Options{Confidence: confidence, Worth: a.k.worth, Families: settings})
	if err != nil {
		return nil, nil, err
	}
	answers := lists.Mapped(r.Differences, func(d compare.Difference) verdict.Answer { return d.Answer })
	return answers, from, nil
}

// jointly is the probability, by the F test of the general linear hypothesis (Searle 1971, from memory),
// that several combinations are all zero; NaN where it cannot be told.
func jointly(ctx context.Context, by linear.Estimator, contrasts [][]float64) float64 {
	var span design.Span
	var free [][]float64
	var values []float64
	df := math.Inf(1)
	for _, w := range contrasts {
		if _, added := span.Add(ctx, w); !added {
			continue
		}
		e, ok := by.Combination(ctx, w)
		if !ok {
			return math.NaN()
		}
		free, values, df = append(free, w), append(values, e.Value), min(df, e.DF)
	}
	q := len(free)
	if q == 0 {
		return math.NaN()
	}
	cov := mat.NewDense(q, q, slices.Concat(by.Covariance(free)...))
	var solved mat.VecDense
	v := mat.NewVecDense(q, values)
	if solved.SolveVec(cov, v) != nil {
		return math.NaN()
	}
	return dist.FTail(mat.Dot(v, &solved)/float64(q), float64(q), df)
}

// shares are each factor's share of the variation of y: of its own terms, and half of a combined one.
func (a *analysis) shares(ctx context.Context, y []float64) ([]float64, error) {
	r, err := shares.OfMeasure(ctx, y, a.model, shares.Options{Confidence: confidence, Resamples: 2, Times: 2})
	if err != nil {
		return nil, err
	}
	out := make([]float64, len(a.k.factors))
	for t, s := range r.Shares {
		factors := a.model.Terms[t].Factors
		for _, f := range factors {
			out[f.Variable] += s.Share / float64(len(factors))
		}
	}
	return out, nil
}

// truth is what each factor does at most between two points where it is told, whatever the others are,
// and the one with the largest share of what the truth alone varies by; -1 where nothing does anything.
func (a *analysis) truth(ctx context.Context) (sizes []float64, first int, err error) {
	k := a.k
	mean := func(x []float64) float64 { return k.mean(specimen{k, x}) }
	sizes, first = make([]float64, len(k.factors)), -1
	expected := make([]float64, len(a.load))
	var all [][]float64
	for row := range expected {
		x := make([]float64, len(k.factors))
		for f, v := range a.model.Variables {
			if v.IsCategory() {
				x[f] = float64(v.Codes[row])
			} else {
				x[f] = v.Numbers[row]
			}
		}
		expected[row], all = mean(x), append(all, x)
	}
	for f := range sizes {
		for _, x := range all {
			low, high := math.Inf(1), math.Inf(-1)
			for _, p := range a.points(f) {
				moved := slices.Clone(x)
				if number, ok := p.Numbers[f]; ok {
					moved[f] = number
				} else {
					moved[f] = float64(p.Levels[f])
				}
				low, high = min(low, mean(moved)), max(high, mean(moved))
			}
			sizes[f] = max(sizes[f], high-low)
		}
	}
	if slices.Max(sizes) == 0 {
		return sizes, -1, nil
	}
	parted, err := a.shares(ctx, expected)
	if err != nil {
		return nil, -1, err
	}
	return sizes, slices.Index(parted, slices.Max(parted)), nil
}

func less(a, b []float64) []float64 {
	out := slices.Clone(a)
	for i, x := range b {
		out[i] -= x
	}
	return out
}
