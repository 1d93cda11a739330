package compare

import (
	"cmp"
	"context"
	"math"
	"slices"

	"gonum.org/v1/gonum/mathext"

	"breakbook/models/dist"
	"breakbook/models/doubts"
	"breakbook/models/lists"
	"breakbook/models/parallel"
	"breakbook/models/verdict"
)

// ranks of the values, ties sharing their mean rank, and Σ(t³ − t) over the ties.
func ranks(ctx context.Context, values []float64) (r []float64, ties float64) {
	order := lists.Indices(len(values))
	parallel.SortFunc(ctx, order, func(a, b int) int {
		return cmp.Or(cmp.Compare(values[a], values[b]), a-b)
	})
	r = make([]float64, len(values))
	for from := 0; from < len(order); {
		to := from
		for to < len(order) && values[order[to]] == values[order[from]] {
			to++
		}
		for _, i := range order[from:to] {
			r[i] = float64(from+1+to) / 2
		}
		t := float64(to - from)
		ties += t*t*t - t
		from = to
	}
	return r, ties
}

// KruskalWallis tests by ranks whether all levels are alike: H with the correction for
// ties, against chi-square (Kruskal & Wallis 1952). F holds H; DF2 is NaN. Errors are *Error:
// "too-few-levels", "too-few-specimens", "not-a-number", "all-equal".
func KruskalWallis(ctx context.Context, values [][]float64) (_ Overall, err error) {
	defer parallel.Catch(&err)
	if err := checkRanked(ctx, values); err != nil {
		return Overall{}, err
	}
	r, ties := ranks(ctx, slices.Concat(values...))
	n := float64(len(r))
	h, at := 0.0, 0
	for _, level := range values {
		sum := 0.0
		for range level {
			sum += r[at] - (n+1)/2
			at++
		}
		h += sum * sum / float64(len(level))
	}
	o := Overall{F: 12 * h / (n * (n + 1)) / (1 - ties/(n*n*n-n)), DF1: float64(len(values) - 1), DF2: math.NaN()}
	o.P = dist.ChiSquareTail(o.F, o.DF1)
	return o, nil
}

// checkRanked is check for ranks, which need no spread within levels.
func checkRanked(ctx context.Context, values [][]float64) error {
	err := check(ctx, values)
	if e, ok := err.(*Error); ok && (e.Code == "no-spread" || e.Code == "too-few-specimens" && e.Level < 0) {
		return nil
	}
	return err
}

// Ranked compares levels by rank sums: all pairs, or with ref of zero or more each level with that one. P is exact with
// shared ranks wherever the sums of ranks can be counted in mostRankSteps, the chance of a rank sum at least as far
// from its mean, else normal with the corrections for ties and continuity (Lehmann 1975, sections 1.2 to 1.4); adjusted
// over the rows by Holm (1979). Diff is the shift of Hodges & Lehmann (1963), Percent of First's median; Low and High
// are the interval of Moses (1965) at a Bonferroni level, infinite where the specimens are too few for one. SE, DF,
// Detectable, PercentLow and PercentHigh are NaN. Errors as KruskalWallis, "no-such-level", or the context's.
func Ranked(ctx context.Context, values [][]float64, ref int, o Options) (_ *Result, err error) {
	defer parallel.Catch(&err)
	if err := checkRanked(ctx, values); err != nil {
		return nil, err
	}
	if ref >= len(values) {
		return nil, &Error{"no-such-level", ref}
	}
	rows := allPairs(len(values))
	if ref >= 0 {
		rows = againstOne(len(values), ref)
	}
	if o, err = o.filled(); err != nil {
		return nil, err
	}
	res := &Result{Critical: math.NaN(), Method: ByRanks, Every: true}
	for _, row := range rows {
		p := rankPair{ctx: ctx, first: values[row[0]], second: values[row[1]], of: float64(len(rows)), o: o}
		d, exact := p.difference()
		res.Every = res.Every && exact
		d.First, d.Second = row[0], row[1]
		res.Differences = append(res.Differences, d)
	}
	for i, p := range doubts.Holm(lists.Mapped(res.Differences, func(d Difference) float64 { return d.P })) {
		res.Differences[i].P = p
	}
	return res, nil
}

// rankPair is two levels to be compared by ranks, one of so many pairs.
type rankPair struct {
	ctx           context.Context
	first, second []float64
	of            float64
	o             Options
}

// difference fills in a row, and tells whether its P and its interval are exact; P is not adjusted yet.
func (p rankPair) difference() (_ Difference, exact bool) {
	nan := math.NaN()
	d := Difference{SE: nan, DF: nan, Detectable: nan, PercentLow: nan, PercentHigh: nan, Critical: nan}
	m, n := float64(len(p.first)), float64(len(p.second))
	r, ties := ranks(p.ctx, slices.Concat(p.first, p.second))
	for _, x := range r[len(p.first):] {
		d.Statistic += x
	}
	expected := n * (m + n + 1) / 2
	all := m + n
	sd := math.Sqrt(m * n / 12 * (all + 1 - ties/(all*(all-1))))
	away := math.Abs(d.Statistic - expected)
	if d.Clear = away / sd; sd == 0 {
		d.Clear = 0
	}
	exact = rankSteps(len(r), min(len(p.first), len(p.second))) <= mostRankSteps
	switch {
	case sd == 0:
		d.P = 1
	case exact:
		d.P = rankSumTail(p.ctx, r, min(len(p.first), len(p.second)), away)
	default:
		d.P = math.Min(1, 2*dist.NormalTail(math.Max(0, away-0.5)/sd))
	}
	p.ranges(&d, exact)
	baseline := dist.Median(p.ctx, p.first)
	d.Percent = 100 * d.Diff / baseline
	if baseline == 0 {
		d.Percent = nan
	}
	return d, exact
}

// mostRankSteps is how many steps of a few nanoseconds the counting of rank sums may take: within a second.
const mostRankSteps = 2e8

// rankSteps is about how many rankSumTail takes for n ranks of which k are drawn.
func rankSteps(n, k int) float64 { return float64(n) * float64(k) * float64(n) * float64(n+1) / 4 }

// rankSumTail is the chance that the sum of k of these ranks, all choices alike, lies at least as
// far from its mean as away. Twice a rank, shared or not, is whole, so the choices of j of the first
// ranks are counted by twice their sum, rank after rank (Streitberg and Röhmel 1986, Statistical Software
// Newsletter 12, from memory). It is parallel.Stopped where ctx ends.
func rankSumTail(ctx context.Context, ranks []float64, k int, away float64) float64 {
	twice := make([]int, len(ranks))
	largest, whole := 0, 0
	for i, r := range ranks {
		twice[i] = int(math.Round(2 * r))
		whole += twice[i]
	}
	sorted := slices.Sorted(slices.Values(twice))
	for _, r := range sorted[len(sorted)-k:] {
		largest += r
	}
	counts := make([][]float64, k+1) // by how many are chosen, and twice their sum
	for j := range counts {
		counts[j] = make([]float64, largest+1)
	}
	counts[0][0] = 1
	reached := 0 // the largest sum so far
	for i, r := range sorted {
		parallel.Look(ctx)
		reached = min(largest, reached+r)
		for j := min(i+1, k); j > 0; j-- {
			from, to := counts[j-1], counts[j]
			for sum := reached; sum >= r; sum-- {
				to[sum] += from[sum-r]
			}
		}
	}
	mean := float64(k) * float64(whole) / float64(len(ranks))
	total, beyond := 0.0, 0.0
	for sum, w := range counts[k] {
		total += w
		if math.Abs(float64(sum)-mean) >= 2*away-1e-9 {
			beyond += w
		}
	}
	return beyond / total
}

// intervals fills in the shift, its interval, the answer and what would settle it.
func (p rankPair) ranges(d *Difference, exact bool) {
	s := newShifts(p.ctx, p.first, p.second)
	d.Diff = s.middle()
	cut := rankSumCut(len(p.first), len(p.second), exact)
	at := func(alpha float64) verdict.Range {
		c := cut(alpha / p.of)
		if c < 1 {
			return verdict.Range{Low: math.Inf(-1), High: math.Inf(1)}
		}
		return verdict.Range{Low: s.at(c), High: s.at(s.len() + 1 - c)}
	}
	r := at(1 - p.o.Confidence)
	d.Low, d.High = r.Low, r.High
	if d.Answer = verdict.Decide(r, at(0.10), p.o.Worth); d.Answer != verdict.CannotTell {
		return
	}
	// The shift's own standard error by the length of its middle interval (Lehmann 1963).
	m, n := float64(len(p.first)), float64(len(p.second))
	c := max(1, int(math.Round(m*n/2-math.Sqrt(m*n*(m+n+1)/12))))
	se := (s.at(s.len()+1-c) - s.at(c)) / 2
	if !(se > 0) {
		return
	}
	f := bonferroni{p.of, math.Max(1, m+n-2)}
	limits := newThresholds(p.ctx, f, f.df, p.o)
	limits.plan.df = func(n float64) float64 { return 2*n - 2 }
	d.Enough, d.Together = limits.plan.enough(p.ctx, se/math.Sqrt(1/m+1/n), int(p.of))
}

// rankSumCut gives, for two-sided level alpha, how many of the ordered shifts lie outside
// the range plus one: the largest c with P(U ≤ c − 1) ≤ alpha/2 for untied values (Mann &
// Whitney 1947), by the normal distribution with the correction for continuity where not exact.
func rankSumCut(m, n int, exact bool) func(alpha float64) int {
	if !exact {
		mn := float64(m * n)
		sd := math.Sqrt(mn * float64(m+n+1) / 12)
		return func(alpha float64) int {
			return int(math.Floor(mn/2 + 0.5 + mathext.NormalQuantile(alpha/2)*sd))
		}
	}
	counts := rankSumCounts(m, n)
	total := 0.0
	for _, w := range counts {
		total += w
	}
	return func(alpha float64) int {
		sum, c := 0.0, 0
		for c < len(counts) && sum+counts[c] <= alpha/2*total*(1+1e-12) {
			sum += counts[c]
			c++
		}
		return c
	}
}

// rankSumWays is how many arrangements of m and n untied values have U = 0, 1, …: the
// coefficients of ∏ (1 − xⁿ⁺ⁱ)/(1 − xⁱ), i from 1 to m.
func rankSumCounts(m, n int) []float64 {
	if m > n {
		m, n = n, m
	}
	counts := make([]float64, m*n+1)
	counts[0] = 1
	for i := 1; i <= m; i++ {
		for u := len(counts) - 1; u >= n+i; u-- {
			counts[u] -= counts[u-n-i]
		}
		for u := i; u < len(counts); u++ {
			counts[u] += counts[u-i]
		}
	}
	return counts
}
