package linear

import (
	"context"
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"

	"breakbook/models/design"
)

// series is a random unbalanced series with a category and two number columns.
type series struct {
	y, x, z, w []float64
	codes      []int
	levels     int
}

func drawSeries(t *rapid.T) series {
	s := series{levels: rapid.IntRange(2, 4).Draw(t, "levels")}
	n := rapid.IntRange(16, 40).Draw(t, "n")
	weighted := rapid.Bool().Draw(t, "weighted")
	for i := range n {
		level := i % s.levels
		if i >= 3*s.levels {
			level = rapid.IntRange(0, s.levels-1).Draw(t, "level")
		}
		s.codes = append(s.codes, level)
		s.x = append(s.x, math.Round(rapid.Float64Range(400, 800).Draw(t, "x")*10)/10)
		s.z = append(s.z, rapid.Float64Range(-3, 3).Draw(t, "z"))
		s.y = append(s.y, math.Round(rapid.Float64Range(2000, 6000).Draw(t, "y")))
		if weighted {
			s.w = append(s.w, rapid.Float64Range(0.2, 5).Draw(t, "w"))
		}
	}
	return s
}

func (s series) model() design.Model {
	return design.Model{Weights: s.w, Variables: []design.Variable{
		{Codes: s.codes, Levels: []string{"a", "b", "c", "d"}[:s.levels]}, number("x", s.x), number("z", s.z)},
		Terms: []design.Term{term(0), term(1), term(2), term(0, 1)}}
}

// mostMagnified is how much a drawn series may magnify rounding: a change of 1e-16 in a
// value then moves what alike compares by well under its 1e-9, n² of them added up.
const mostMagnified = 1e4

// fitted solves a drawn series. One that is singular, or that magnifies the rounding which
// another unit or order brings in beyond what alike compares, is drawn again.
func fitted(t *rapid.T, s series) *Fit {
	f, err := Solve(context.Background(), s.y, s.model())
	if err != nil || slices.ContainsFunc(f.Coefficients, func(c Coefficient) bool { return c.Dependent }) ||
		!(magnified(f) <= mostMagnified) {
		t.Skip("nothing to compare")
	}
	return f
}

// magnified bounds by how much a relative change of the values shows in the figures of a fit:
// of the estimates by the condition of the columns, each about its mean and of length one
// (Golub and Van Loan, Matrix Computations, 5.3.7), times how much longer a column is than
// about its mean; of what is left over by its share of the response; of what is
// predicted from the others by 1 ÷ (1 − leverage).
func magnified(f *Fit) float64 {
	n, p := f.N, len(f.Matrix.Columns)
	columns := mat.NewDense(n, p, nil)
	offset := 1.0
	for j, x := range f.Matrix.Columns {
		var about, length, mean, weights float64
		for i, v := range x {
			w := f.Weight(i)
			length, mean, weights = length+w*v*v, mean+w*v, weights+w
		}
		if mean /= weights; j == 0 {
			mean = 0
		}
		for i, v := range x {
			about += f.Weight(i) * (v - mean) * (v - mean)
		}
		row := 0
		for i, v := range x {
			if w := f.Weight(i); w != 0 {
				columns.Set(row, j, math.Sqrt(w/about)*(v-mean))
				row++
			}
		}
		offset = max(offset, math.Sqrt(length/about))
	}
	for _, v := range f.Matrix.Model.Variables {
		if !v.IsCategory() { // measured from its mean in the columns, but rounded before
			least, most := slices.Min(v.Numbers), slices.Max(v.Numbers)
			offset = max(offset, max(math.Abs(least), math.Abs(most))/(most-least))
		}
	}
	var svd mat.SVD
	if !svd.Factorize(columns, mat.SVDNone) {
		return math.Inf(1)
	}
	alone := 1.0
	for _, h := range f.Leverage {
		if !math.IsNaN(h) {
			alone = min(alone, max(1-h, 0))
		}
	}
	return svd.Cond() * offset / alone * math.Sqrt(f.TSS/f.RSS)
}

// alike fails where two numbers differ by more than 1e-9 of their scale, or only one exists.
func alike(t *rapid.T, what string, got, want, scale float64) {
	if math.IsNaN(got) && math.IsNaN(want) {
		return
	}
	if !(math.Abs(got-want) <= 1e-9*math.Max(math.Abs(want), scale)) {
		t.Fatalf("%s: %.15g, not %.15g", what, got, want)
	}
}

func times(x []float64, by, plus float64) []float64 {
	scaled := make([]float64, len(x))
	for i, v := range x {
		scaled[i] = v*by + plus
	}
	return scaled
}

// sameTests compares what no unit can change.
func sameTests(t *rapid.T, a, b *Fit) {
	for j, c := range a.Coefficients {
		if j > 0 {
			alike(t, "t", b.Coefficients[j].T, c.T, 1)
			alike(t, "p", b.Coefficients[j].P, c.P, 1)
		}
	}
	alike(t, "explained", b.Explained, a.Explained, 1)
	alike(t, "unseen", b.ExplainedUnseen, a.ExplainedUnseen, 1)
	alike(t, "F", b.F, a.F, 1)
	for _, adjustment := range []Adjustment{Marginal, Sequential, EachLast} {
		x, err := a.Anova(context.Background(), adjustment)
		y, err2 := b.Anova(context.Background(), adjustment)
		if err != nil || err2 != nil {
			t.Fatal(err, err2)
		}
		for s := range x.Sources {
			alike(t, "F of a source", y.Sources[s].F, x.Sources[s].F, 1)
		}
	}
}

func TestUnitsDoNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSeries(t)
		f := fitted(t, s)
		of := s
		by := rapid.SampledFrom([]float64{9.80665, 1e-6, 1e9, 25.4}).Draw(t, "unit")
		shift := rapid.SampledFrom([]float64{0, 273.15, -40}).Draw(t, "shift")
		of.y, of.x = times(s.y, by, 0), times(times(s.x, 1, shift), 1/by, 0)
		g := fitted(t, of)
		sameTests(t, f, g)
		alike(t, "baseline", g.Coefficients[0].Estimate, f.Coefficients[0].Estimate*by, f.Coefficients[0].SE*by)
		alike(t, "sigma", g.Sigma, f.Sigma*by, 0)
		for j, c := range f.Coefficients {
			if len(c.Label.Levels) == 1 && c.Label.Term == 1 {
				alike(t, "slope", g.Coefficients[j].Estimate, c.Estimate*by*by, f.Sigma*by*by)
			}
		}
	})
}

func TestRowOrderDoesNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSeries(t)
		f := fitted(t, s)
		order := make([]int, len(s.y))
		for i := range order {
			order[i] = i
		}
		order = rapid.Permutation(order).Draw(t, "order")
		of := series{levels: s.levels}
		for _, i := range order {
			of.y, of.x, of.z, of.codes = append(of.y, s.y[i]), append(of.x, s.x[i]), append(of.z, s.z[i]),
				append(of.codes, s.codes[i])
			if s.w != nil {
				of.w = append(of.w, s.w[i])
			}
		}
		g := fitted(t, of)
		sameTests(t, f, g)
		for k, i := range order {
			alike(t, "fitted", g.Fitted[k], f.Fitted[i], f.Sigma)
			alike(t, "leverage", g.Leverage[k], f.Leverage[i], 1)
		}
	})
}

func TestLevelOrderDoesNotMatterToFittedValues(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSeries(t)
		f := fitted(t, s)
		of := s
		of.codes = make([]int, len(s.codes))
		for i, c := range s.codes {
			of.codes[i] = s.levels - 1 - c
		}
		g := fitted(t, of)
		alike(t, "F", g.F, f.F, 1)
		for i := range s.y {
			alike(t, "fitted", g.Fitted[i], f.Fitted[i], f.Sigma)
		}
		for _, a := range []Adjustment{Marginal, EachLast} {
			x, err := f.Anova(context.Background(), a)
			y, err2 := g.Anova(context.Background(), a)
			if err != nil || err2 != nil {
				t.Fatal(err, err2)
			}
			for k := range x.Sources {
				alike(t, "sum of squares", y.Sources[k].SS, x.Sources[k].SS, f.RSS/f.DF)
			}
		}
	})
}

func TestWeightsTimesAConstantChangeOnlyTheSd(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSeries(t)
		f := fitted(t, s)
		by := rapid.SampledFrom([]float64{0.01, 3, 1000}).Draw(t, "by")
		of := s
		of.w = s.w
		if of.w == nil {
			of.w = times(s.y, 0, 1)
		}
		of.w = times(of.w, by, 0)
		g := fitted(t, of)
		sameTests(t, f, g)
		alike(t, "sigma", g.Sigma, f.Sigma*math.Sqrt(by), 0)
		alike(t, "log-likelihood", g.LogLikelihood, f.LogLikelihood, 1)
		for j, c := range f.Coefficients {
			alike(t, "estimate", g.Coefficients[j].Estimate, c.Estimate, c.SE)
			alike(t, "standard error", g.Coefficients[j].SE, c.SE, 0)
		}
	})
}

// A whole weight is so many specimens alike, as far as the estimates go; weight 0 is none.
func TestWholeWeightsAreCopies(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSeries(t)
		s.w = nil
		copies := series{levels: s.levels}
		used := 0
		for i := range s.y {
			w := rapid.IntRange(0, 3).Draw(t, "copies")
			s.w = append(s.w, float64(w))
			used += min(w, 1)
			for range w {
				copies.y, copies.x, copies.z, copies.codes = append(copies.y, s.y[i]), append(copies.x, s.x[i]),
					append(copies.z, s.z[i]), append(copies.codes, s.codes[i])
			}
		}
		f, g := fitted(t, s), fitted(t, copies)
		if f.N != used {
			t.Fatalf("%d specimens, not %d", f.N, used)
		}
		if len(f.Coefficients) != len(g.Coefficients) {
			t.Fatalf("%d coefficients, not %d", len(f.Coefficients), len(g.Coefficients))
		}
		for j, c := range g.Coefficients {
			alike(t, "estimate", f.Coefficients[j].Estimate, c.Estimate, c.SE)
		}
		alike(t, "rss", f.RSS, g.RSS, 0)
		alike(t, "tss", f.TSS, g.TSS, 0)
	})
}

// Sums of squares as listed add up, to the F of the whole; the residuals are at right
// angles to every column; leverages add up to the number of coefficients.
func TestIdentities(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSeries(t)
		f := fitted(t, s)
		table, err := f.Anova(context.Background(), Sequential)
		if err != nil {
			t.Fatal(err)
		}
		ss, df, shares := table.ResidualSS, table.ResidualDF, 0.0
		for _, source := range table.Sources {
			ss, df, shares = ss+source.SS, df+source.DF, shares+source.Share
		}
		if !table.AddsUp || df != table.TotalDF {
			t.Fatalf("adds up: %v, %g of %g degrees of freedom", table.AddsUp, df, table.TotalDF)
		}
		alike(t, "total", ss, table.TotalSS, 0)
		alike(t, "shares", shares, f.Explained, 0)
		alike(t, "F", f.F, (f.TSS-f.RSS)/f.FDF1/(f.Sigma*f.Sigma), 1)
		leverage := 0.0
		for _, h := range f.Leverage {
			leverage += h
		}
		alike(t, "leverage", leverage, float64(len(f.Coefficients)), 0)
		for j, column := range f.Matrix.Columns {
			dot, size := 0.0, 0.0
			for i, e := range f.Residuals {
				w := f.Matrix.Model.Weight(i)
				dot += w * e * column[i]
				size += math.Abs(w * e * column[i])
			}
			if !(math.Abs(dot) <= 1e-11*size) {
				t.Fatalf("residuals against column %d: %g of %g", j, dot, size)
			}
		}
	})
}
