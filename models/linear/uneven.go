package linear

import (
	"context"
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"

	"breakbook/models/dist"
	"breakbook/models/exact"
	"breakbook/models/lists"
	"breakbook/models/parallel"
)

// Uneven is a least-squares fit whose standard errors do not assume equal spread: HC2 of
// MacKinnon and White (1985), J. Econometrics 29, each squared residual over 1 − leverage.
// Degrees of freedom are each combination's own (Bell and McCaffrey 2002), those that its
// variance would have if spread were equal after all; with weights, equal once the rows are
// times √weight. Where each kind of specimen has a mean of its own, as by the levels of one
// factor, they are Welch's (1947), by the spreads found. F, FDF2 and P are those of the test
// that all terms are zero, the approximate Hotelling T² of Pustejovsky and Tipton (2018) or, with
// means of their own, Welch's (1951); NaN where that leaves no degrees of freedom. The other
// figures are least squares'.
type Uneven struct {
	*Fit
	Alone []int // specimens that nothing but themselves predicts; what rests on one has no standard error

	spread [][]float64 // of the coordinates
	lone   [][]float64 // coordinates of Alone
	pairs  *pairing
}

// restsOn is the share of a combination's length from which a specimen alone on its
// level has a part in it.
const restsOn = 1e-8

// Uneven is the same fit with standard errors that do not assume equal spread.
// Errors are ctx's own.
func (f *Fit) Uneven(ctx context.Context) (_ *Uneven, err error) {
	defer parallel.Catch(&err)
	u := &Uneven{Fit: new(*f)}
	rows, residualShare := f.Rows(ctx), f.residualShares(ctx)
	p := len(f.factor.r)
	spread := mat.NewSymDense(p, nil)
	for i, q := range rows {
		parallel.LookAt(ctx, i)
		if q == nil {
			continue
		}
		if 1-f.Leverage[i] < aloneBelow {
			u.Alone = append(u.Alone, i)
			u.lone = append(u.lone, q)
			continue
		}
		weighted := f.Weight(i) * f.Residuals[i]
		spread.SymRankOne(spread, weighted*weighted/residualShare[i], mat.NewVecDense(p, q))
	}
	u.spread = make([][]float64, p)
	for j := range u.spread {
		u.spread[j] = make([]float64, p)
		for k := range p {
			u.spread[j][k] = spread.At(j, k)
		}
	}
	u.pairs = newPairing(ctx, f, rows, residualShare, len(u.Alone))
	u.Restate(ctx, u)
	if overall := f.Overall(); len(overall) > 0 {
		test := u.test(ctx, overall)
		u.F, u.FDF2, u.P = test.f, test.against, test.p
	}
	return u, nil
}

// residualShares is 1 − leverage of every specimen, 0 for one alone on its level: where leverage is
// high, to the digits of the factorisation.
func (f *Fit) residualShares(ctx context.Context) []float64 {
	t, p := f.factor.table, len(f.factor.r)
	out, raw, made := make([]float64, t.n), newRow(p), newRow(p)
	for i, h := range f.Leverage {
		parallel.LookAt(ctx, i)
		switch w := t.weight(i); {
		case w == 0 || 1-h < aloneBelow:
		case h > highLeverage:
			t.gather(raw, i)
			made.times(raw, f.factor.inverse)
			share := exact.Of(1)
			for j := range p {
				q := exact.DD{Hi: made.hi[j], Lo: made.lo[j]}
				share = share.Sub(q.Mul(q).MulFloat(w))
			}
			out[i] = share.Float()
		default:
			out[i] = 1 - h
		}
	}
	return out
}

// Combination has HC2's standard error and its own degrees of freedom, NaN both where it
// rests on a specimen of Alone. It looks at ctx.
func (u *Uneven) Combination(ctx context.Context, w []float64) (Estimate, bool) {
	e, ok := u.Fit.Combination(ctx, w)
	if ok {
		t := u.Coordinates(w)
		e.SE, e.DF = math.Sqrt(u.between(t, t)), math.NaN()
		if !math.IsNaN(e.SE) {
			e.DF = u.pairs.freedom(ctx, u.pairs.combination(ctx, t))
		}
	}
	return e, ok
}

// PairFreedom is the degrees of freedom of the difference of each two combinations, none of
// which may rest on a specimen of Alone; NaN for one with itself. It looks at ctx.
func (u *Uneven) PairFreedom(ctx context.Context, w [][]float64) [][]float64 {
	b := u.pairs
	each, out := make([]combination, len(w)), make([][]float64, len(w))
	for i, one := range w {
		each[i], out[i] = b.combination(ctx, u.Coordinates(one)), make([]float64, len(w))
		out[i][i] = math.NaN()
	}
	b.each(ctx, len(w), len(w)*len(w)*len(b.many), func(ctx context.Context, i int) {
		d := combination{make([]float64, b.width), make([]float64, len(b.many))}
		for j := range i {
			parallel.Look(ctx)
			floats.SubTo(d.along, each[i].along, each[j].along)
			floats.SubTo(d.weights, each[i].weights, each[j].weights)
			out[i][j] = b.freedom(ctx, d)
			out[j][i] = out[i][j]
		}
	})
	return out
}

// OwnSpreads reports whether each combination is the mean of one kind of specimens, with the spread found in them
// alone, as the levels of one factor have it. It looks at ctx.
func (u *Uneven) OwnSpreads(ctx context.Context, w [][]float64) bool {
	for _, one := range w {
		if u.pairs.kinds(u.pairs.combination(ctx, u.Coordinates(one))) != 1 {
			return false
		}
	}
	return true
}

// Covariance is HC2's.
func (u *Uneven) Covariance(w [][]float64) [][]float64 {
	return u.covariance(lists.Mapped(w, u.Coordinates))
}

// Specimen has no standard error: nothing says how a new specimen scatters.
func (u *Uneven) Specimen(ctx context.Context, w []float64) (Estimate, bool) {
	e, ok := u.Fit.Combination(ctx, w)
	e.SE = math.NaN()
	return e, ok
}

// Anova tests each term as F tests all, against degrees of freedom of its own, NaN with F and P
// where there are none: no sums of squares, no shares. Errors as Fit.Anova.
func (u *Uneven) Anova(ctx context.Context, a Adjustment) (_ *Anova, err error) {
	defer parallel.Catch(&err)
	directions, err := u.Directions(ctx, a, nil)
	if err != nil {
		return nil, err
	}
	nan := math.NaN()
	out := &Anova{ResidualDF: u.DF, ResidualSS: nan, ResidualMS: nan, TotalDF: nan, TotalSS: nan, AddsUp: true}
	for t, rows := range directions {
		s := Source{Term: t, DF: float64(len(rows)), SS: nan, MS: nan, Share: nan, F: nan, P: nan, Against: nan}
		if len(rows) == 0 {
			s.DF, s.Untestable = nan, true
		} else {
			test := u.test(ctx, rows)
			s.F, s.P, s.Against = test.f, test.p, test.against
		}
		out.Sources = append(out.Sources, s)
	}
	return out, nil
}

func (u *Uneven) covariance(turned [][]float64) [][]float64 {
	out := make([][]float64, len(turned))
	for i := range out {
		out[i] = make([]float64, len(turned))
		for j := range i + 1 {
			out[i][j] = u.between(turned[i], turned[j])
			out[j][i] = out[i][j]
		}
	}
	return out
}

// between is the covariance of two combinations given in coordinates; NaN where both
// rest on a specimen alone on its level.
func (u *Uneven) between(a, b []float64) float64 {
	for _, q := range u.lone {
		if rests(a, q) && rests(b, q) {
			return math.NaN()
		}
	}
	sum := 0.0
	for j, row := range u.spread {
		for k, v := range row {
			sum += a[j] * v * b[k]
		}
	}
	return sum
}

func rests(t, q []float64) bool {
	along, lt, lq := 0.0, 0.0, 0.0
	for j, v := range t {
		along += v * q[j]
		lt += v * v
		lq += q[j] * q[j]
	}
	return math.Abs(along) > restsOn*math.Sqrt(lt*lq)
}

type wald struct{ f, against, p float64 }

// test is that combinations are all zero, given in coordinates and orthonormal in them. It is the approximate
// Hotelling T² (Pustejovsky and Tipton 2018): with η of pairing.eta, F is (η − q + 1)/(η·q) of Wald's statistic, on q
// and η − q + 1 degrees of freedom. Where rows have means of their own it is the test of Welch (1951) and Johansen
// (1980): F is Wald's statistic over q + 2A − 6A/(q + 2), on q and q(q + 2)/(3A). All is NaN where degrees of freedom
// are not above 0, where the covariance has no inverse, or where one rests on a specimen alone on its level.
func (u *Uneven) test(ctx context.Context, rows [][]float64) wald {
	nan := wald{math.NaN(), math.NaN(), math.NaN()}
	cov := u.covariance(rows)
	s, v := mat.NewSymDense(len(rows), nil), mat.NewVecDense(len(rows), nil)
	of := make([]combination, len(rows))
	for i, row := range rows {
		if math.IsNaN(cov[i][i]) {
			return nan
		}
		v.SetVec(i, u.Value(row))
		of[i] = u.pairs.combination(ctx, row)
		for j := range i + 1 {
			s.SetSym(i, j, cov[i][j])
		}
	}
	q := float64(len(rows))
	var by, against float64
	if a := u.pairs.ownShares(of); a > 0 {
		by, against = q+2*a-6*a/(q+2), q*(q+2)/(3*a)
	} else {
		eta := u.pairs.eta(ctx, of)
		against = eta - q + 1
		by = eta * q / against
	}
	var c mat.Cholesky
	var x mat.VecDense
	if !(against > 0) || !c.Factorize(s) || c.SolveVecTo(&x, v) != nil {
		return nan
	}
	f := mat.Dot(v, &x) / by
	return wald{f, against, dist.FTail(f, q, against)}
}
