package compare

import (
	"context"
	"math"

	"breakbook/models/dist"
	"breakbook/models/lists"
	"breakbook/models/parallel"
	"breakbook/models/verdict"
)

// AllPairs compares every level with every other, intervals and probabilities by the studentised range of as many
// values as there are levels, with each pair's own degrees of freedom where there are such (Games & Howell 1976).
// Errors are *Error or the context's.
func AllPairs(ctx context.Context, m Means, o Options) (*Result, error) {
	if err := m.check(); err != nil {
		return nil, err
	}
	method := StudentisedRange
	if m.Own {
		method = GamesHowell
	}
	k := len(m.Mean)
	family := func(df float64) family { return pairs{dist.NewStudentisedRange(k, df)} }
	return m.compare(ctx, method, family, allPairs(k), o)
}

// Against compares every level with the level ref, by the many-to-one t with the correlations that Cov gives: exactly
// where they are products (raw groups), else on a lattice with its error in Result.Error; where each level has its own
// spread, by Šidák's inequality. Errors are *Error or the context's.
func Against(ctx context.Context, m Means, ref int, o Options) (*Result, error) {
	if err := m.check(); err != nil {
		return nil, err
	}
	if ref < 0 || ref >= len(m.Mean) {
		return nil, &Error{"no-such-level", ref}
	}
	rows := againstOne(len(m.Mean), ref)
	if m.Own {
		family := func(df float64) family { return sidak{float64(len(rows)), df} }
		return m.compare(ctx, Sidak, family, rows, o)
	}
	r, err := m.correlations(rows)
	if err != nil {
		return nil, err
	}
	rho := 0.5
	if math.IsInf(m.N[ref], 1) {
		rho = 0
	}
	first := dist.NewManyToOne(r, m.pairDF(rows[0][0], rows[0][1]))
	family := func(df float64) family { return against{len(rows), rho, first.WithDF(df)} }
	return m.compare(ctx, ManyToOne, family, rows, o)
}

// allPairs are the rows of a comparison of every level with every other.
func allPairs(k int) [][2]int {
	var rows [][2]int
	for i := range k {
		for j := i + 1; j < k; j++ {
			rows = append(rows, [2]int{i, j})
		}
	}
	return rows
}

// againstOne are the rows of a comparison of every level with one.
func againstOne(k, ref int) [][2]int {
	var rows [][2]int
	for i := range k {
		if i != ref {
			rows = append(rows, [2]int{ref, i})
		}
	}
	return rows
}

// correlations of the differences of the rows.
func (m Means) correlations(rows [][2]int) ([][]float64, error) {
	r := make([][]float64, len(rows))
	for a, row := range rows {
		r[a] = make([]float64, len(rows))
		for b, other := range rows {
			i, j, ref := row[1], other[1], row[0]
			r[a][b] = m.Cov[i][j] - m.Cov[i][ref] - m.Cov[ref][j] + m.Cov[ref][ref]
		}
		if !(r[a][a] > 0) {
			return nil, &Error{"no-spread", row[1]}
		}
	}
	sd := lists.Made(len(r), func(a int) float64 { return math.Sqrt(r[a][a]) })
	for a := range r {
		for b := range r {
			r[a][b] /= sd[a] * sd[b]
		}
		r[a][a] = 1
	}
	return r, nil
}

// check finds what keeps means from being compared.
func (m Means) check() error {
	if len(m.Mean) < 2 {
		return &Error{"too-few-levels", -1}
	}
	if m.PairDF == nil && !(m.DF > 0) {
		return &Error{"no-freedom-left", -1}
	}
	for i, v := range m.Mean {
		if math.IsNaN(v) || math.IsNaN(m.Cov[i][i]) {
			return &Error{"not-a-number", i}
		}
	}
	return nil
}

// pairDF is the degrees of freedom of one difference.
func (m Means) pairDF(i, j int) float64 {
	if m.PairDF == nil {
		return m.DF
	}
	return m.PairDF[i][j]
}

// thresholds are the critical values of one family at the degrees of freedom of a row, and what
// follows from them.
type thresholds struct {
	family               family
	critical, critical90 float64
	detectable           float64 // in standard errors
	plan                 *planner
}

// newThresholds makes those of rows with df degrees of freedom.
func newThresholds(ctx context.Context, f family, df float64, o Options) *thresholds {
	j := &thresholds{family: f, detectable: math.NaN(), critical: f.critical(ctx, 1-o.Confidence),
		critical90: f.critical(ctx, 0.10)}
	if !o.Unplanned {
		j.detectable = dist.NoncentralityFor(o.Chance, j.critical, df)
	}
	j.plan = &planner{family: f, options: o, now: df, critical: j.critical, critical90: j.critical90,
		known: map[float64]criticals{}}
	return j
}

// compare fills in the rows (first and second level) of one family.
func (m Means) compare(ctx context.Context, method Method, f func(df float64) family, rows [][2]int,
	o Options) (_ *Result, err error) {
	defer parallel.Catch(&err)
	if o, err = o.filled(); err != nil {
		return nil, err
	}
	if alone := f; o.Families > 1 {
		f = func(df float64) family { return shared{alone(df), float64(o.Families)} }
	}
	res := &Result{Critical: math.NaN(), Method: method}
	byDF := map[float64]*thresholds{}
	for _, row := range rows {
		parallel.Look(ctx)
		i, j := row[0], row[1]
		d := Difference{First: i, Second: j, DF: m.pairDF(i, j), Diff: m.Mean[j] - m.Mean[i]}
		d.SE = math.Sqrt(m.Cov[i][i] - 2*m.Cov[i][j] + m.Cov[j][j])
		if !(d.SE > 0) {
			return nil, &Error{"no-spread", j}
		}
		by, ok := byDF[d.DF]
		if !ok {
			by = newThresholds(ctx, f(d.DF), d.DF, o)
			byDF[d.DF] = by
		}
		res.Error = math.Max(res.Error, m.fill(ctx, &d, by, len(rows)/max(1, o.Families), o))
		res.Differences = append(res.Differences, d)
	}
	if len(byDF) == 1 {
		res.Critical = res.Differences[0].Critical
	}
	return res, nil
}

// fill works out what a row's thresholds say of its difference, one of so many, and the error of its p.
func (m Means) fill(ctx context.Context, d *Difference, by *thresholds, of int, o Options) (within float64) {
	d.Statistic = d.Diff / d.SE
	d.Clear, d.Critical = math.Abs(d.Statistic), by.critical
	d.Low, d.High = d.Diff-by.critical*d.SE, d.Diff+by.critical*d.SE
	m.percent(d, by.critical)
	d.P, within = by.family.tail(ctx, d.Clear)
	d.Detectable = by.detectable * d.SE
	ninety := verdict.Range{Low: d.Diff - by.critical90*d.SE, High: d.Diff + by.critical90*d.SE}
	d.Answer = verdict.Decide(verdict.Range{Low: d.Low, High: d.High}, ninety, o.Worth)
	if d.Answer == verdict.CannotTell {
		by.plan.df = m.futureDF(d.First, d.Second)
		if m.Own {
			by.plan.known = map[float64]criticals{} // the degrees of freedom to come are the pair's own
		}
		d.Enough, d.Together = by.plan.enough(ctx, m.spread(d), of)
	}
	return within
}

// counts are what Enough counts: the blocks of each level, or its specimens.
func (m Means) counts() []float64 {
	if m.Blocks != nil {
		return m.Blocks
	}
	return m.N
}

// spread is the sd of one specimen, or of the mean of one block, that gives the row's standard error with as many at
// both levels: the root mean square of the two levels' own where each has its own.
func (m Means) spread(d *Difference) float64 {
	if m.Own || math.IsInf(m.N[d.First], 1) {
		return math.Sqrt((m.variance(d.First) + m.variance(d.Second)) / 2)
	}
	n := m.counts()
	return d.SE / math.Sqrt(1/n[d.First]+1/n[d.Second])
}

// variance of one specimen of a level; 0 for a figure that is known.
func (m Means) variance(level int) float64 {
	if math.IsInf(m.N[level], 1) {
		return 0
	}
	return m.Cov[level][level] * m.N[level]
}

// futureDF is the degrees of freedom of a difference with n specimens at every level. What
// a model takes away stays the same; own spreads have Welch's (1947) at equal numbers; other
// degrees of freedom of a pair's own grow with the number of specimens, between blocks by one with
// every block (blocks less levels, as in a one-way table of the blocks' means).
func (m Means) futureDF(i, j int) func(n float64) float64 {
	levels, have := 0.0, 0.0
	for _, n := range m.counts() {
		if !math.IsInf(n, 1) {
			levels, have = levels+1, have+n
		}
	}
	switch {
	case m.Own:
		a, b := m.variance(i), m.variance(j)
		ratio := (a + b) * (a + b) / (a*a + b*b)
		return func(n float64) float64 { return ratio * (n - 1) }
	case m.PairDF != nil && m.Blocks != nil:
		return func(n float64) float64 { return m.PairDF[i][j] + levels*n - have }
	case m.PairDF != nil:
		return func(n float64) float64 { return m.PairDF[i][j] * levels * n / have }
	default:
		return func(n float64) float64 { return m.DF + levels*n - have }
	}
}

// percent fills in the difference as percents of First's mean, the ends by Fieller
// (1954): the ratios R with (D − R·A)² ≤ c² var(D − R·A), A being First's mean.
func (m Means) percent(d *Difference, c float64) {
	a := m.Mean[d.First]
	varA := m.Cov[d.First][d.First]
	cov := m.Cov[d.Second][d.First] - varA // of the difference with First's mean
	d.Percent, d.PercentLow, d.PercentHigh = 100*d.Diff/a, math.NaN(), math.NaN()
	square := a*a - c*c*varA
	if a == 0 {
		d.Percent = math.NaN()
	}
	if !(square > 0) {
		return
	}
	half := d.Diff*a - c*c*cov
	rest := (d.Diff - c*d.SE) * (d.Diff + c*d.SE)
	root := math.Sqrt(math.Max(0, half*half-square*rest))
	// The end further from zero first; the other from their product, without cancellation.
	far := (half + math.Copysign(root, half)) / square
	near := rest / (far * square)
	if far == 0 {
		near = 0
	}
	d.PercentLow, d.PercentHigh = 100*math.Min(far, near), 100*math.Max(far, near)
}
