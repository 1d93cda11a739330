package dist

import (
	"context"
	"math"
	"slices"
)

// ManyToOne is the distribution of the largest of m absolute t values that share one sd
// with df degrees of freedom and are correlated (Dunnett 1955, 1964). Make it with
// NewManyToOne; it keeps what it has integrated. Not for several goroutines at once.
type ManyToOne struct {
	m           int
	df          float64
	correlation [][]float64
	mix         *mixture // products, or sums of two
	lat         *lattice // any other correlation
}

// NewManyToOne takes the correlations of the m numerators, an m by m matrix, and df > 0
// (fractions and +Inf allowed). Where the correlations are products λi λj, as for levels
// of independent specimens against one of them, or sums of two such products, as with one
// covariate, the probability is an integral good to about ten digits; else it is a
// lattice sum whose error comes below 1e-5 for up to some twenty levels, on as many cores
// as there are and the same on one.
func NewManyToOne(correlation [][]float64, df float64) *ManyToOne {
	d := &ManyToOne{m: len(correlation), df: df, correlation: correlation}
	if d.m < 2 {
		return d
	}
	step := math.Min(0.14, 0.4/math.Sqrt(df+float64(d.m)+1))
	if loads, ok := productForm(correlation); ok {
		slices.Sort(loads)
		d.mix = newMixture(df, 1, step, func(w float64) float64 { return anyBeyond(loads, w) })
		return d
	}
	if s, ok := twoFactors(correlation); ok {
		d.mix = newMixture(df, 1, step, s.anyBeyond)
	} else {
		d.lat = newLattice(newEscape(correlation), df)
	}
	return d
}

// WithDF is the distribution of values as correlated with df degrees of freedom in place of
// its own. What a lattice has summed serves both.
func (d *ManyToOne) WithDF(df float64) *ManyToOne {
	if d.lat == nil {
		return NewManyToOne(d.correlation, df)
	}
	return &ManyToOne{m: d.m, df: df, correlation: d.correlation, lat: newLattice(d.lat.escape, df)}
}

// Exact reports whether the probabilities come without a lattice error.
func (d *ManyToOne) Exact() bool { return d.lat == nil }

// Tail is the chance that the largest |t| exceeds c, with its error (three standard errors of
// the lattice, and what it may be off between its nodes; 0 where exact). It looks at ctx.
func (d *ManyToOne) Tail(ctx context.Context, c float64) (p, within float64) {
	switch {
	case d.m < 1 || !(d.df > 0) || math.IsNaN(c):
		return math.NaN(), 0
	case c <= 0:
		return 1, 0
	case math.IsInf(c, 1):
		return 0, 0
	}
	one := TwoSidedT(c, d.df)
	switch {
	case d.m == 1:
		return one, 0
	case d.lat == nil:
		p, _ = d.mix.at(c)
	default:
		p, within = d.lat.at(ctx, c)
	}
	// Never less than one test alone nor more than Šidák's bound (1967).
	most := -math.Expm1(float64(d.m) * math.Log1p(-one))
	return math.Max(one, math.Min(most, p)), math.Min(within, most-one)
}

// Point is the value the largest |t| exceeds with chance tail: +Inf at 0, 0 at 1, NaN
// outside. It looks at ctx.
func (d *ManyToOne) Point(ctx context.Context, tail float64) float64 {
	if d.m < 1 || !(d.df > 0) || !(tail >= 0 && tail <= 1) {
		return math.NaN()
	}
	bonferroni := -TQuantile(tail/(2*float64(d.m)), d.df) // lies above
	switch {
	case d.m == 1:
		return bonferroni
	case d.lat == nil:
		return d.mix.point(tail, bonferroni)
	default:
		return d.lat.point(ctx, tail, bonferroni)
	}
}

// productForm finds loads λ with correlation λi λj for every i ≠ j, all below one in
// size, within 1e-11; ok is false where there are none.
func productForm(r [][]float64) (loads []float64, ok bool) {
	m := len(r)
	loads = make([]float64, m)
	if m == 2 {
		loads[0] = math.Sqrt(math.Abs(r[0][1]))
		loads[1] = math.Copysign(loads[0], r[0][1])
	} else {
		// The row with the largest correlations fixes the rest.
		row, best := 0, -1.0
		for i := range r {
			sum := 0.0
			for j := range r {
				if j != i {
					sum += math.Abs(r[i][j])
				}
			}
			if sum > best {
				row, best = i, sum
			}
		}
		if best > noise {
			loads[row] = math.Sqrt(rowLoad(r, row))
			for j := range r {
				if j != row {
					loads[j] = r[row][j] / loads[row]
				}
			}
		}
	}
	for i := range r {
		if !(loads[i]*loads[i] < 1-1e-6) {
			return nil, false
		}
		for j := range r {
			if i != j && !(math.Abs(r[i][j]-loads[i]*loads[j]) <= 1e-11) {
				return nil, false
			}
		}
	}
	return loads, true
}

// rowLoad is λ² of a row: r_ij r_ik / r_jk by the pair with the largest r_jk; where no two
// others are correlated, the row's largest correlation, which makes two equal loads of it.
func rowLoad(r [][]float64, i int) float64 {
	load, best := 0.0, noise
	for j := range r {
		if j != i && best == noise {
			load = math.Max(load, math.Abs(r[i][j]))
		}
		for k := range j {
			if j != i && k != i && math.Abs(r[j][k]) > best {
				best = math.Abs(r[j][k])
				load = r[i][j] * r[i][k] / r[j][k]
			}
		}
	}
	return load
}

// noise is the size below which a correlation may be rounding.
const noise = 1e-9

// anyBeyond is the chance that any of λi z + √(1−λi²) ei leaves ±w, z and all ei being
// independent standard normal: the trapezium rule over the shared z, even in z.
func anyBeyond(loads []float64, w float64) float64 {
	most := 0.0
	for _, l := range loads {
		most = math.Max(most, math.Abs(l))
	}
	h := math.Min(0.4, math.Sqrt((1-most*most)/float64(len(loads)+1)))
	sum := 0.0
	for j := 0; ; j++ {
		z := float64(j) * h
		if z > most*w+9 {
			break
		}
		ln, one := 0.0, 0.0
		for i, l := range loads {
			if i == 0 || l != loads[i-1] { // levels of as many specimens come together
				s := math.Sqrt(1 - l*l)
				one = math.Log1p(-NormalTail((w-l*z)/s) - NormalTail((w+l*z)/s))
			}
			ln += one
		}
		term := -math.Exp(-z*z/2) * math.Expm1(ln)
		if j == 0 {
			term /= 2
		}
		sum += term
	}
	return 2 * h / math.Sqrt(2*math.Pi) * sum
}
