package linear

import (
	"context"
	"math"
	"slices"

	"breakbook/models/design"
	"breakbook/models/dist"
	"breakbook/models/exact"
	"breakbook/models/lists"
	"breakbook/models/parallel"
)

const (
	// exactBelow is the share of the response's length below which a residual length is
	// the rounding of double-double: the fit is exact and RSS is 0.
	exactBelow = 1e-25
	// aloneBelow is 1 − leverage below which nothing but the specimen itself predicts it.
	aloneBelow = 1e-10
	// easyBelow is the condition number up to which a leverage in float64 is good to 13
	// digits: its relative error is about 1e-16·κ.
	easyBelow = 1e3
)

// Solve fits y (one a specimen) on the model by least squares. With weights the variance of a
// specimen is taken as Sigma² ÷ weight (the textbook's weighted least squares, e.g. Draper
// and Smith, Applied Regression Analysis, 9.2). Errors are *Error, or ctx's own.
func Solve(ctx context.Context, y []float64, m design.Model) (_ *Fit, err error) {
	defer parallel.Catch(&err)
	if m.ThroughZero && len(m.Terms) == 0 {
		return nil, because("no-terms", len(y), 0)
	}
	n, err := used(y, m)
	if err != nil {
		return nil, err
	}
	if err := tooManyLevels(ctx, y, m, n); err != nil {
		return nil, err
	}
	matrix, err := design.Spell(ctx, len(y), m, design.FromBaseline)
	if err != nil {
		return nil, Taken(err)
	}
	p := len(matrix.Labels)
	if constant(y, m) {
		return nil, because("all-equal", n, p)
	}
	f := &Fit{N: n, Matrix: *matrix, Response: y}
	yHi, yLo := f.measureResponse(ctx)
	f.factor = newTable(ctx, matrix.Columns, matrix.Low, yHi, yLo, m.Weights).factorise(ctx, !m.ThroughZero)
	f.DF = float64(n - f.factor.rank - m.Searched)
	switch {
	case f.DF <= 0 && n < p:
		return nil, because("too-few-specimens", n, p)
	case f.DF <= 0:
		return nil, because("no-freedom-left", n, p)
	}
	f.solution = f.factor.solution()
	f.summarise(f.residuals(ctx))
	f.coefficients()
	return f, nil
}

// measureResponse is the response from its weighted mean (from zero through zero) to 32 digits.
func (f *Fit) measureResponse(ctx context.Context) (hi, lo []float64) {
	hi, lo = make([]float64, len(f.Response)), make([]float64, len(f.Response))
	if !f.Matrix.Model.ThroughZero {
		var sum, weights exact.DD
		for i, v := range f.Response {
			parallel.LookAt(ctx, i)
			if w := f.Matrix.Model.Weight(i); w != 0 {
				p, e := exact.TwoProd(w, v)
				sum = sum.Add(exact.DD{Hi: p, Lo: e})
				weights = weights.AddFloat(w)
			}
		}
		f.offset = sum.Div(weights)
	}
	for i, v := range f.Response {
		parallel.LookAt(ctx, i)
		d := exact.Of(v).Sub(f.offset)
		hi[i], lo[i] = d.Hi, d.Lo
		if w := f.Matrix.Model.Weight(i); w != 0 {
			f.tss = f.tss.Add(d.Mul(d).MulFloat(w))
		}
	}
	f.TSS = f.tss.Float()
	return hi, lo
}

// residuals fills Fitted, Residuals, Leverage and RSS, and returns the sum of squares of
// each specimen predicted from the others (Allen 1974, Technometrics 16), NaN where one is alone.
func (f *Fit) residuals(ctx context.Context) (press float64) {
	t, p := f.factor.table, len(f.solution)
	f.Fitted, f.Residuals, f.Leverage = make([]float64, t.n), make([]float64, t.n), make([]float64, t.n)
	type bench struct {
		raw, made       *row
		rss, low, press float64 // low is what float64 leaves off rss
	}
	back := 1 / t.yScale
	cost := p * 8
	_, slots := t.rounds(cost)
	benches := lists.Made(slots, func(k int) bench { return bench{raw: newRow(p), made: newRow(p)} })
	of := f.expecting()
	work := func(slot, from, to int) {
		b := &benches[slot]
		b.rss, b.low, b.press = 0, 0, 0
		for i := from; i < to; i++ {
			w := t.weight(i)
			if w == 0 {
				f.Fitted[i], f.Residuals[i], f.Leverage[i] = math.NaN(), math.NaN(), math.NaN()
				continue
			}
			t.gather(b.raw, i)
			fitted, h := of(b.raw, b.made, w)
			residual := exact.DD{Hi: t.yHi[i], Lo: t.yLo[i]}.Sub(exact.DD{Hi: fitted.Hi * back, Lo: fitted.Lo * back})
			deleted := residual.Hi / (1 - h)
			if 1-h < aloneBelow {
				deleted = math.NaN()
			}
			weighted := residual.MulFloat(w)
			b.rss, b.low = plus(b.rss, b.low, weighted.Hi, weighted.Lo, residual.Hi, residual.Lo)
			b.press += w * deleted * deleted
			f.Residuals[i], f.Leverage[i] = residual.Float(), h
			s, e := exact.TwoSum(f.Response[i], -residual.Hi)
			f.Fitted[i] = s + (e - residual.Lo)
		}
	}
	var total exact.DD
	gather := func(slot int) {
		hi, lo := exact.TwoSum(benches[slot].rss, benches[slot].low)
		f.rss = f.rss.Add(exact.DD{Hi: hi, Lo: lo})
		total = total.AddFloat(benches[slot].press)
	}
	t.blocks(ctx, cost, work, gather)
	f.settleExact()
	return total.Float()
}

// expecting gives what works out the expected value of a row, on the scaled response's scale
// to 32 digits, and its leverage, the squared length of its row of Q: in double-double where
// the columns' condition needs it. made is a row to work in.
func (f *Fit) expecting() func(raw, made *row, w float64) (fitted exact.DD, leverage float64) {
	p := len(f.solution)
	long := func(made *row, w float64) (h float64) {
		for _, q := range made.hi[:p] {
			h += w * q * q
		}
		return h
	}
	if f.factor.kappa < easyBelow {
		near := make([][]float64, p)
		for j, line := range f.factor.inverse {
			near[j] = narrowed(line)
		}
		return func(raw, made *row, w float64) (exact.DD, float64) {
			made.timesNear(raw, near)
			return raw.dot(f.solution), long(made, w)
		}
	}
	both := make(square, p) // R⁻¹ and the solution beside it: a row times this is a row of Q and its expected value
	for j := range both {
		both[j] = append(slices.Clone(f.factor.inverse[j]), f.solution[j])
	}
	return func(raw, made *row, w float64) (exact.DD, float64) {
		made.times(raw, both)
		return exact.DD{Hi: made.hi[p], Lo: made.lo[p]}, long(made, w)
	}
}

// settleExact takes a residual sum of squares that is rounding as 0.
func (f *Fit) settleExact() {
	var raw float64
	for i, v := range f.Response {
		if w := f.Matrix.Model.Weight(i); w != 0 {
			raw += w * v * v
		}
	}
	if below := exactBelow * exactBelow * raw; f.rss.Hi <= below {
		f.rss, f.rounding = exact.DD{}, below
	}
	f.RSS = f.rss.Float()
}

// summarise fills the figures of the fit as a whole. The log-likelihood is the full
// normal one at its maximum; AICc is of Hurvich and Tsai (1989), Biometrika 76, the sd
// counted as a parameter; the adjusted share is Ezekiel's.
func (f *Fit) summarise(press float64) {
	n, total := float64(f.N), float64(f.N)
	rank := f.factor.rank
	if !f.Matrix.Model.ThroughZero {
		total--
		rank--
	}
	f.Sigma = f.rss.Div(exact.Of(f.DF)).Sqrt().Float()
	f.Explained = exact.Of(1).Sub(f.rss.Div(f.tss)).Float()
	f.ExplainedAdjusted = 1 - f.RSS/f.DF/(f.TSS/total)
	f.ExplainedUnseen = 1 - press/f.TSS
	f.F, f.FDF1, f.FDF2, f.P = math.NaN(), math.NaN(), math.NaN(), math.NaN()
	if rank > 0 && f.Matrix.Model.Searched == 0 { // a place that was searched for has no F distribution
		f.FDF1, f.FDF2 = float64(rank), f.DF
		f.F = f.tss.Sub(f.rss).Div(exact.Of(f.FDF1)).Div(f.rss.Div(exact.Of(f.DF))).Float()
		f.P = dist.FTail(f.F, f.FDF1, f.FDF2)
	}
	logWeights := 0.0
	for _, w := range f.Matrix.Model.Weights {
		if w != 0 {
			logWeights += math.Log(w)
		}
	}
	f.LogLikelihood = -n/2*(math.Log(2*math.Pi*f.RSS/n)+1) + logWeights/2
	k := float64(f.factor.rank + f.Matrix.Model.Searched + 1)
	f.AICc = math.NaN()
	if n > k+1 {
		f.AICc = -2*f.LogLikelihood + 2*k + 2*k*(k+1)/(n-k-1)
	}
}

// coefficients fills the rows of the fit and AtZero.
func (f *Fit) coefficients() {
	f.Coefficients = make([]Coefficient, len(f.solution))
	w := make([]exact.DD, len(f.solution))
	for j, label := range f.Matrix.Labels {
		c := Coefficient{Label: label}
		if f.factor.dependent[j] {
			c.Dependent, c.On = true, f.factor.on(j)
			c.Estimate, c.SE, c.T, c.DF, c.P = math.NaN(), math.NaN(), math.NaN(), math.NaN(), math.NaN()
		} else {
			w[j] = exact.Of(1)
			value, se := f.combine(w)
			w[j] = exact.DD{}
			c.Estimate, c.SE, c.T = value.Float(), se, value.Float()/se
			c.DF, c.P = f.DF, dist.TwoSidedT(c.T, f.DF)
		}
		f.Coefficients[j] = c
	}
	f.AtZero, f.AtZeroSE = math.NaN(), math.NaN()
	if zero, ok := f.zeroWeights(); ok {
		value, se := f.combine(zero)
		f.AtZero, f.AtZeroSE = value.Float(), se
	}
}

// on lists the columns a dependent column is a combination of.
func (f *factor) on(dependent int) []int {
	var on []int
	for j, d := range f.parts[dependent] {
		if d.Hi != 0 {
			on = append(on, j)
		}
	}
	return on
}
