package linear

import (
	"context"
	"math"

	"gonum.org/v1/gonum/mat"

	"breakbook/models/dist"
)

// Uneven is a least-squares fit whose standard errors do not assume equal spread: HC3
// of MacKinnon and White (1985), J. Econometrics 29, each residual as if its specimen were
// predicted from the others. Its degrees of freedom are n − p. F and P are those of the
// test that all terms are zero with this covariance; the other figures are least squares'.
type Uneven struct {
	*Fit
	Alone []int // specimens that nothing but themselves predicts; what rests on one has no standard error

	spread [][]float64 // of the coordinates
	lone   [][]float64 // coordinates of Alone
}

// restsOn is the share of a combination's length from which a specimen alone on its
// level has a part in it.
const restsOn = 1e-8

// Uneven is the same fit with standard errors that do not assume equal spread.
// Errors are ctx's own.
func (f *Fit) Uneven(ctx context.Context) (*Uneven, error) {
	own := *f
	u := &Uneven{Fit: &own}
	rows, err := f.Rows(ctx)
	if err != nil {
		return nil, err
	}
	p := len(f.factor.r)
	spread := mat.NewSymDense(p, nil)
	for i, q := range rows {
		if i%(1<<12) == 0 && ctx.Err() != nil {
			return nil, ctx.Err()
		}
		if q == nil {
			continue
		}
		if 1-f.Leverage[i] < aloneBelow {
			u.Alone = append(u.Alone, i)
			u.lone = append(u.lone, q)
			continue
		}
		deleted := f.Weight(i) * f.Residuals[i] / (1 - f.Leverage[i])
		spread.SymRankOne(spread, deleted*deleted, mat.NewVecDense(p, q))
	}
	u.spread = make([][]float64, p)
	for j := range u.spread {
		u.spread[j] = make([]float64, p)
		for k := range p {
			u.spread[j][k] = spread.At(j, k)
		}
	}
	u.Restate(u)
	test := u.test(f.Overall())
	u.F, u.P = test.f, test.p
	return u, nil
}

// Combination has HC3's standard error, NaN where it rests on a specimen of Alone.
func (u *Uneven) Combination(w []float64) (Estimate, bool) {
	e, ok := u.Fit.Combination(w)
	if ok {
		t := u.Coordinates(w)
		e.SE = math.Sqrt(u.between(t, t))
	}
	return e, ok
}

// Covariance is HC3's.
func (u *Uneven) Covariance(w [][]float64) [][]float64 {
	turned := make([][]float64, len(w))
	for i := range w {
		turned[i] = u.Coordinates(w[i])
	}
	return u.covariance(turned)
}

// Specimen has no standard error: nothing says how a new specimen scatters.
func (u *Uneven) Specimen(w []float64) (Estimate, bool) {
	e, ok := u.Fit.Combination(w)
	e.SE = math.NaN()
	return e, ok
}

// Anova tests each term by HC3's covariance (Wald's F against n − p): no sums of
// squares, no shares. Errors as Fit.Anova.
func (u *Uneven) Anova(ctx context.Context, a Adjustment) (*Anova, error) {
	directions, err := u.Directions(ctx, a, nil)
	if err != nil {
		return nil, err
	}
	nan := math.NaN()
	out := &Anova{LeftDF: u.DF, LeftSS: nan, LeftMS: nan, TotalDF: nan, TotalSS: nan, AddsUp: true}
	for t, rows := range directions {
		s := Source{Term: t, DF: float64(len(rows)), SS: nan, MS: nan, Share: nan, F: nan, P: nan, Against: u.DF}
		if len(rows) == 0 {
			s.DF, s.Against, s.Untestable = nan, nan, true
		} else {
			test := u.test(rows)
			s.F, s.P = test.f, test.p
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

type wald struct{ f, p float64 }

// test is Wald's F that combinations given in coordinates are all zero; NaN where their
// covariance has no inverse.
func (u *Uneven) test(rows [][]float64) wald {
	q := len(rows)
	nan := wald{math.NaN(), math.NaN()}
	if q == 0 {
		return nan
	}
	cov := u.covariance(rows)
	s, v := mat.NewSymDense(q, nil), mat.NewVecDense(q, nil)
	for i, row := range rows {
		v.SetVec(i, u.Value(row))
		for j := range i + 1 {
			s.SetSym(i, j, cov[i][j])
		}
	}
	var c mat.Cholesky
	var x mat.VecDense
	if !c.Factorize(s) || c.SolveVecTo(&x, v) != nil {
		return nan
	}
	f := mat.Dot(v, &x) / float64(q)
	return wald{f, dist.FTail(f, float64(q), u.DF)}
}
