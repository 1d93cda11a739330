package limits

import (
	"context"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/interp"
	"gonum.org/v1/gonum/mat"

	"breakbook/models/parallel"
)

// nest is specimens in blocks about a linear model, as far as a limit needs them: the model's
// columns are those of an orthonormal basis Q, and the residuals those of least squares.
type nest struct {
	size      []float64   // by block: the sum of the specimens' weights
	residuals []float64   // by block: the weighted sum of their residuals
	rows      [][]float64 // by block: the weighted sum of their rows of Q
	n         int         // specimens
	rank      int         // independent columns of Q
	rss       float64     // weighted sum of squared residuals
	at        float64     // what least squares expects of the joint
	t         []float64   // the joint in the coordinates of Q
}

// weighed are the normal equations in Q where each block's sum is taken off with a weight that
// its size gives: Q'V⁻¹Q, Q'V⁻¹e and e'V⁻¹e. A dependent column, whose coordinate is 0 everywhere,
// touches nothing.
func (m *nest) weighed(ctx context.Context,
	weight func(size float64) float64) (a *mat.SymDense, r []float64, rss float64) {
	p := len(m.t)
	upper := make([]float64, p*p)
	r, rss = make([]float64, p), m.rss
	for i, n := range m.size {
		parallel.LookAt(ctx, i)
		c, row := weight(n), m.rows[i]
		for j, v := range row {
			for k := j; k < p; k++ {
				upper[j*p+k] -= c * v * row[k]
			}
			r[j] -= c * m.residuals[i] * v
		}
		rss -= c * m.residuals[i] * m.residuals[i]
	}
	for j := range p {
		upper[j*p+j]++
	}
	return mat.NewSymDense(p, upper), r, rss
}

// atRatio solves the model with random blocks whose variance is ratio times that within: what
// it expects of the joint, the variance of that and the residual sum of squares, both of
// V⁻¹, over the variance within (generalised least squares; Searle, Casella and McCulloch
// 1992, Variance Components, 6.3 and M.5). Through no fault of rounding is ok false only
// where the columns do not settle the joint.
func (m *nest) atRatio(ctx context.Context, ratio float64) (expected, variance, rss float64, ok bool) {
	p := len(m.t)
	a, r, rss := m.weighed(ctx, func(n float64) float64 { return ratio / (1 + n*ratio) })
	var chol mat.Cholesky
	if !chol.Factorize(a) {
		return math.NaN(), math.NaN(), math.NaN(), false
	}
	var shift, reach mat.VecDense
	if chol.SolveVecTo(&shift, mat.NewVecDense(p, r)) != nil || chol.SolveVecTo(&reach,
		mat.NewVecDense(p, m.t)) != nil {
		return math.NaN(), math.NaN(), math.NaN(), false
	}
	rss -= floats.Dot(r, shift.RawVector().Data)
	return m.at + floats.Dot(m.t, shift.RawVector().Data), floats.Dot(m.t, reach.RawVector().Data), rss, true
}

// within is the residual sum of squares with the blocks as levels of their own, and how many
// of the columns vary within blocks.
func (m *nest) within(ctx context.Context) (rss float64, rank int) {
	p := len(m.t)
	a, r, rss := m.weighed(ctx, func(n float64) float64 { return 1 / n })
	var e mat.EigenSym
	if !e.Factorize(a, true) {
		return math.NaN(), 0
	}
	var vectors mat.Dense
	e.VectorsTo(&vectors)
	for j, value := range e.Values(nil) {
		if value < 1e-9 {
			continue
		}
		rank++
		along := 0.0
		for i, v := range r {
			along += v * vectors.At(i, j)
		}
		rss -= along * along / value
	}
	rank -= p - m.rank // the dependent columns' ones on the diagonal
	return rss, rank
}

// curve is what a nest says at every ratio of the variances: the joint's expected load, the
// variance of that, and the sum of squares that the blocks have beyond the terms. Blocks that
// shift as their variance says make that sum, over the variance within, a chi-square: so a draw
// of the two chi-squares gives the ratio (Wald 1947, Annals of Mathematical Statistics 18; as a
// generalised pivotal quantity Krishnamoorthy and Mathew 2009, chapter 4 and, balanced, 5.3).
type curve struct {
	within         float64 // sum of squares
	dfWithin, dfUp float64 // of within, and of the blocks
	even           float64 // harmonic mean of the blocks' sizes
	g0, b0, m0     float64 // at ratio 0
	last, lastLog  float64 // ln(1 + even·ratio) at the end of the grid, and ln of the sum of squares there
	bLast, mLast   float64
	slope          float64 // of ln variance there
	x, b, m        interp.FritschButland
	flat           bool // there is no grid: the blocks' sum of squares is 0
}

const (
	curveSteps = 96
	curveEnd   = 14 // of ln(1 + even·ratio): blocks that differ a million times as much as specimens of one
)

// newCurve lays the grid. Errors: "one-block" (the blocks have nothing beyond the terms) and
// "each-its-own" (no two specimens of a block tell how they scatter).
func newCurve(ctx context.Context, m *nest) (*curve, error) {
	rss, rank := m.within(ctx)
	blocks := len(m.size)
	c := &curve{within: rss, dfWithin: float64(m.n - blocks - rank), dfUp: float64(blocks + rank - m.rank)}
	if c.dfUp < 1 {
		return nil, &Error{"one-block"}
	}
	if c.dfWithin < 1 {
		return nil, &Error{"each-its-own"}
	}
	c.within = math.Max(c.within, 1e-14*m.rss) // specimens of a block that are alike to the last digit
	for _, n := range m.size {
		c.even += 1 / n / float64(blocks)
	}
	c.even = 1 / c.even
	var xs, logs, bs, ms []float64
	for i := range curveSteps + 1 {
		parallel.Look(ctx)
		x := curveEnd * float64(i) / curveSteps
		b, v, all, ok := m.atRatio(ctx, math.Expm1(x)/c.even)
		g := all - c.within
		if i == 0 {
			c.g0, c.b0, c.m0 = math.Max(g, 0), b, v
		}
		if !ok || !(g > 1e-9*c.within && g > 1e-12*m.rss) && !(c.within <= 1e-9*m.rss && g > 0) || !(v > 0) {
			break
		}
		if log := math.Log(g); len(logs) == 0 || log < logs[len(logs)-1] {
			xs, logs, bs, ms = append(xs, x), append(logs, log), append(bs, b), append(ms, math.Log(v))
		}
	}
	if len(xs) < 2 {
		c.flat = true
		return c, nil
	}
	end := len(xs) - 1
	c.last, c.lastLog, c.bLast, c.mLast = xs[end], logs[end], bs[end], ms[end]
	c.slope = math.Min(1, math.Max(0, (ms[end]-ms[end-1])/(xs[end]-xs[end-1])))
	down := slices.Clone(logs)
	floats.Scale(-1, down)
	if c.x.Fit(down, xs) != nil || c.b.Fit(xs, bs) != nil || c.m.Fit(xs, ms) != nil {
		return nil, &Error{"not-a-number"}
	}
	return c, nil
}

// at is the ratio of the variances at which the blocks' sum of squares is g, with what is
// expected of the joint there and its variance over that within. Where g is more than they
// have without any shift, the ratio is below 0 as in the balanced case, where the variance of
// block means, not that of blocks, is what the chi-square stands for.
func (c *curve) at(g float64) (ratio, expected, variance float64) {
	if c.flat || g >= c.g0 {
		share := c.g0 / g
		return math.Max((share-1)/c.even, -1), c.b0, c.m0 * share
	}
	log := math.Log(g)
	if log <= c.lastLog {
		beyond := c.lastLog - log
		return math.Expm1(c.last+beyond) / c.even, c.bLast, math.Exp(c.mLast + c.slope*beyond)
	}
	x := c.x.Predict(-log)
	return math.Expm1(x) / c.even, c.b.Predict(x), math.Exp(c.m.Predict(x))
}

// finer is how many times as close the values of the chi-square within have to lie: where blocks
// hardly differ the parts are narrow, and the rule needs them to overlap. Mostly 1.
func (c *curve) finer(z float64) int {
	const most = 16
	v, _ := chiSquares(c.dfWithin, 1)
	u := c.dfUp + 2*math.Sqrt(2*c.dfUp)
	variance := c.within / c.dfWithin
	ratio, _, own := c.at(u * variance)
	apart := z * math.Sqrt(variance*(1+ratio)) * math.Abs(math.Log(v[1]/v[0])) / 2
	overlap := 1.2 * math.Sqrt(variance*own)
	if !(apart < most*overlap) {
		return most
	}
	return max(1, int(math.Ceil(apart/overlap)))
}

// pivot is that of the load which a share of joints of new blocks exceed, z sd below.
func (c *curve) pivot(z float64) pivot {
	u, uWeights := chiSquares(c.dfUp, 1)
	v, vWeights := chiSquares(c.dfWithin, c.finer(math.Abs(z)))
	out := make(pivot, 0, len(u)*len(v))
	for i := range u {
		for j := range v {
			w := uWeights[i] * vWeights[j]
			if w < 1e-14 {
				continue
			}
			variance := c.within / v[j]
			ratio, expected, own := c.at(u[i] * variance)
			out = append(out, part{w, expected - z*math.Sqrt(variance*(1+ratio)), math.Sqrt(variance * own)})
		}
	}
	return out
}

// estimate is the expected load, the sd of one joint of a new block and the blocks' share of
// its variance, with both chi-squares at their expected values.
func (c *curve) estimate() (mean, sd, share float64) {
	variance := c.within / c.dfWithin
	ratio, mean, _ := c.at(c.dfUp * variance)
	return mean, math.Sqrt(variance * (1 + ratio)), math.Max(ratio, 0) / (1 + math.Max(ratio, 0))
}

// numbered gives the blocks of specimens codes from 0, and says how many there are.
func numbered(ctx context.Context, codes []int) (own []int, blocks int) {
	number := map[int]int{}
	own = make([]int, len(codes))
	for i, code := range codes {
		parallel.LookAt(ctx, i)
		at, met := number[code]
		if !met {
			at = len(number)
			number[code] = at
		}
		own[i] = at
	}
	return own, len(number)
}

// ofMean is the nest of values about one mean.
func ofMean(ctx context.Context, values []float64, mean float64, codes []int, blocks int) *nest {
	root := math.Sqrt(float64(len(values)))
	m := &nest{size: make([]float64, blocks), residuals: make([]float64, blocks), rows: make([][]float64, blocks),
		n: len(values), rank: 1, at: mean, t: []float64{1 / root}}
	for i, y := range values {
		parallel.LookAt(ctx, i)
		b, e := codes[i], y-mean
		m.size[b]++
		m.residuals[b] += e
		m.rss += e * e
	}
	for b, n := range m.size {
		m.rows[b] = []float64{n / root}
	}
	return m
}
