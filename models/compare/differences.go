package compare

import (
	"context"
	"math"

	"breakbook/models/dist"
	"breakbook/models/verdict"
)

// AllPairs compares every level with every other, ranges and probabilities by the
// studentised range of as many values as there are levels. A worth given as a share is
// of the first level's mean. Errors are *Error or the context's.
func AllPairs(ctx context.Context, m Means, o Options) (*Result, error) {
	if err := m.check(); err != nil {
		return nil, err
	}
	var rows [][2]int
	for i := range m.Mean {
		for j := i + 1; j < len(m.Mean); j++ {
			rows = append(rows, [2]int{i, j})
		}
	}
	f := pairs{dist.NewStudentisedRange(len(m.Mean), m.DF)}
	return m.compare(ctx, StudentisedRange, f, rows, m.Mean[0], o)
}

// Against compares every level with the level ref, by the many-to-one t with the
// correlations that Cov gives: exactly where they are products (raw groups), else on a
// lattice with its error in Result.Error. A worth given as a share is of ref's mean.
// Errors are *Error or the context's.
func Against(ctx context.Context, m Means, ref int, o Options) (*Result, error) {
	if err := m.check(); err != nil {
		return nil, err
	}
	if ref < 0 || ref >= len(m.Mean) {
		return nil, &Error{"no-such-level", ref}
	}
	var rows [][2]int
	for i := range m.Mean {
		if i != ref {
			rows = append(rows, [2]int{ref, i})
		}
	}
	r := make([][]float64, len(rows))
	for a, row := range rows {
		r[a] = make([]float64, len(rows))
		for b, other := range rows {
			i, j := row[1], other[1]
			r[a][b] = m.Cov[i][j] - m.Cov[i][ref] - m.Cov[ref][j] + m.Cov[ref][ref]
		}
	}
	for a := range r {
		if !(r[a][a] > 0) {
			return nil, &Error{"no-spread", rows[a][1]}
		}
	}
	sd := make([]float64, len(r))
	for a := range r {
		sd[a] = math.Sqrt(r[a][a])
	}
	for a := range r {
		for b := range r {
			r[a][b] /= sd[a] * sd[b]
		}
		r[a][a] = 1
	}
	f := against{len(rows), dist.NewManyToOne(r, m.DF)}
	return m.compare(ctx, ManyToOne, f, rows, m.Mean[ref], o)
}

// check finds what keeps means from being compared.
func (m Means) check() error {
	if len(m.Mean) < 2 {
		return &Error{"too-few-levels", -1}
	}
	if !(m.DF > 0) {
		return &Error{"no-freedom-left", -1}
	}
	for i, v := range m.Mean {
		if math.IsNaN(v) || math.IsNaN(m.Cov[i][i]) {
			return &Error{"not-a-number", i}
		}
	}
	return nil
}

// compare fills in the rows (first and second level) of one family.
func (m Means) compare(ctx context.Context, method Method, f family, rows [][2]int, baseline float64, o Options) (*Result, error) {
	o, err := o.filled(baseline)
	if err != nil {
		return nil, err
	}
	critical, err := f.critical(ctx, 1-o.Confidence)
	if err != nil {
		return nil, err
	}
	critical90, err := f.critical(ctx, 0.10)
	if err != nil {
		return nil, err
	}
	res := &Result{Critical: critical, Method: method}
	detectable := dist.NoncentralityFor(o.Chance, critical, m.DF)
	plan := &planner{family: f, options: o, critical: critical, critical90: critical90,
		df: m.futureDF, known: map[float64]criticals{}}
	for _, row := range rows {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		i, j := row[0], row[1]
		d := Difference{First: i, Second: j, DF: m.DF, Diff: m.Mean[j] - m.Mean[i]}
		d.SE = math.Sqrt(m.Cov[i][i] - 2*m.Cov[i][j] + m.Cov[j][j])
		if !(d.SE > 0) {
			return nil, &Error{"no-spread", j}
		}
		d.Statistic = d.Diff / d.SE
		d.Low, d.High = d.Diff-critical*d.SE, d.Diff+critical*d.SE
		m.percent(&d, critical)
		p, within, err := f.tail(ctx, math.Abs(d.Statistic))
		if err != nil {
			return nil, err
		}
		d.P, res.Error = p, math.Max(res.Error, within)
		d.Detectable = detectable * d.SE
		ninety := verdict.Range{Low: d.Diff - critical90*d.SE, High: d.Diff + critical90*d.SE}
		d.Answer = verdict.Decide(verdict.Range{Low: d.Low, High: d.High}, ninety, o.Worth)
		if d.Answer == verdict.CannotTell {
			// The spread of one specimen: what gives this standard error with these numbers.
			sd := d.SE / math.Sqrt(1/m.N[i]+1/m.N[j])
			if d.Enough, err = plan.enough(ctx, sd); err != nil {
				return nil, err
			}
		}
		res.Differences = append(res.Differences, d)
	}
	return res, nil
}

// futureDF is the degrees of freedom with n specimens at every level: what the model
// takes away stays the same.
func (m Means) futureDF(n float64) float64 {
	df := m.DF
	for _, have := range m.N {
		df += n - have
	}
	return df
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
