package dist

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// split is a way to make m correlated standard normal values from independent ones:
// main[i]·z0 + Σ rest[i][k]·z(k+1) + own[i]·e(i). The product form nearest to it is
// main[i]·z0 + √(1 − main[i]²)·e(i).
type split struct {
	main, own []float64
	rest      [][]float64
}

// splitUp splits a correlation matrix: into as few shared factors as reproduce it, up to
// four, or else into the nearest product form, as much as can be left to each value
// alone, and the principal axes of what remains (more than one, from three values up).
func splitUp(r [][]float64) split {
	all := allAxes(r)
	for factors := 2; factors <= 4 && factors < len(r); factors++ {
		if s, ok := fewFactors(r, all, factors); ok {
			return s
		}
	}
	return all
}

// allAxes is the split with as many factors as values.
func allAxes(r [][]float64) split {
	m := len(r)
	s := split{main: make([]float64, m), own: make([]float64, m), rest: make([][]float64, m)}
	full := nearestLoads(r)
	var eigen mat.EigenSym
	best := math.Inf(-1)
	for tenths := 10.0; tenths >= 0 && best < 0.5; tenths-- {
		main := make([]float64, m)
		for i := range main {
			main[i] = full[i] * tenths / 10
		}
		left := mat.NewSymDense(m, nil) // what main leaves, each value by its own sd
		for i := range m {
			for j := i; j < m; j++ {
				left.SetSym(i, j, (r[i][j]-main[i]*main[j])/math.Sqrt((1-main[i]*main[i])*(1-main[j]*main[j])))
			}
		}
		var e mat.EigenSym
		if !e.Factorize(left, true) {
			continue
		}
		if least := e.Values(nil)[0]; least > best {
			best, s.main, eigen = least, main, e
		}
	}
	var axes mat.Dense
	eigen.VectorsTo(&axes)
	values := eigen.Values(nil)
	share := math.Max(best, 1e-6) // of each value's own variance
	for i := range m {
		sd := math.Sqrt(1 - s.main[i]*s.main[i])
		s.own[i] = sd * math.Sqrt(share)
		for k := m - 1; k > 0; k-- { // the longest axis first
			s.rest[i] = append(s.rest[i], sd*axes.At(i, k)*math.Sqrt(math.Max(0, values[k]-share)))
		}
	}
	return s
}

// fewFactors looks for loads on the given number of factors whose products are the
// correlations, within 1e-11, from the longest axes of a full split: least squares by
// Levenberg–Marquardt. ok is false where there are none that leave each value enough of
// its own.
func fewFactors(r [][]float64, start split, factors int) (s split, ok bool) {
	m := len(r)
	loads := mat.NewDense(m, factors, nil)
	for i := range m {
		loads.Set(i, 0, start.main[i])
		for k := 1; k < factors; k++ {
			loads.Set(i, k, start.rest[i][k-1])
		}
	}
	damping := 1e-3
	size, worst := misfit(r, loads)
	for range 200 {
		if worst <= 1e-12 {
			break
		}
		next, fine := improved(r, loads, damping)
		if !fine {
			return s, false
		}
		if nextSize, nextWorst := misfit(r, next); nextSize < size {
			loads, size, worst, damping = next, nextSize, nextWorst, damping/5
		} else if damping *= 4; damping > 1e6 {
			break
		}
	}
	if worst > 1e-11 {
		return s, false
	}
	// Turned so that the first factor is the longest.
	var axes mat.SVD
	axes.Factorize(loads, mat.SVDThin)
	var turn, turned mat.Dense
	axes.VTo(&turn)
	turned.Mul(loads, &turn)
	s = split{main: make([]float64, m), own: make([]float64, m), rest: make([][]float64, m)}
	for i := range m {
		row := turned.RawRowView(i)
		left := 1 - mat.Dot(turned.RowView(i), turned.RowView(i))
		if !(left > 1e-3) {
			return s, false
		}
		s.main[i], s.rest[i], s.own[i] = row[0], append([]float64(nil), row[1:]...), math.Sqrt(left)
	}
	return s, true
}

// misfit is the sum of squares and the largest of what products of loads leave of the
// correlations.
func misfit(r [][]float64, loads *mat.Dense) (size, worst float64) {
	for i := range r {
		for j := range i {
			d := r[i][j] - mat.Dot(loads.RowView(i), loads.RowView(j))
			size += d * d
			worst = math.Max(worst, math.Abs(d))
		}
	}
	return size, worst
}

// improved takes one damped Gauss–Newton step.
func improved(r [][]float64, loads *mat.Dense, damping float64) (*mat.Dense, bool) {
	m, factors := loads.Dims()
	normal := mat.NewSymDense(m*factors, nil)
	right := mat.NewVecDense(m*factors, nil)
	for i := range r {
		for j := range i {
			a, b := loads.RawRowView(i), loads.RawRowView(j)
			d := r[i][j] - mat.Dot(loads.RowView(i), loads.RowView(j))
			for k := range factors { // the misfit's slope is b by a's loads and a by b's
				p, q := i*factors+k, j*factors+k
				right.SetVec(p, right.AtVec(p)+d*b[k])
				right.SetVec(q, right.AtVec(q)+d*a[k])
				for l := range factors {
					if l >= k {
						normal.SetSym(p, i*factors+l, normal.At(p, i*factors+l)+b[k]*b[l])
						normal.SetSym(q, j*factors+l, normal.At(q, j*factors+l)+a[k]*a[l])
					}
					normal.SetSym(p, j*factors+l, normal.At(p, j*factors+l)+b[k]*a[l])
				}
			}
		}
	}
	for p := range m * factors {
		normal.SetSym(p, p, normal.At(p, p)+damping)
	}
	var root mat.Cholesky
	var step mat.VecDense
	if !root.Factorize(normal) || root.SolveVecTo(&step, right) != nil {
		return nil, false
	}
	next := mat.DenseCopyOf(loads)
	for i := range m {
		for k := range factors {
			next.Set(i, k, loads.At(i, k)+step.AtVec(i*factors+k))
		}
	}
	return next, true
}

// anyBeyond is the chance that any of the values leaves ±w, for one factor beside the
// main one, to eight digits and more: the trapezium rule in both, over half the plane
// as z and −z are alike.
func (s split) anyBeyond(w float64) float64 {
	least := 1.0
	for _, own := range s.own {
		least = math.Min(least, own)
	}
	h := math.Min(0.6, 1.8*least/math.Sqrt(float64(len(s.own)+1)))
	// Beyond this no point can count beside the chance of one value alone.
	far := math.Sqrt(2 * (20 - math.Log(NormalTail(w))))
	most := int(far / h)
	sum := 0.0
	for a := 0; a <= most; a++ {
		for b := -most; b <= most; b++ {
			x, y := float64(a)*h, float64(b)*h
			if x*x+y*y > far*far || a == 0 && b < 0 {
				continue
			}
			ln := 0.0
			for i, main := range s.main {
				mean := main*x + s.rest[i][0]*y
				ln += math.Log1p(-NormalTail((w-mean)/s.own[i]) - NormalTail((w+mean)/s.own[i]))
			}
			term := -math.Exp(-(x*x+y*y)/2) * math.Expm1(ln)
			if a == 0 && b == 0 {
				term /= 2 // its own mirror image
			}
			sum += term
		}
	}
	return 2 * h * h / (2 * math.Pi) * sum
}

// correction is how much likelier the values are to leave ±w than those of the product
// form of the main factor, over weighted points; the other factors are taken with both
// signs, which cancels all that is odd in them.
func (s split) correction(points []weighted, w float64) float64 {
	sum := 0.0
	for _, p := range points {
		product, one, other := 1.0, 1.0, 1.0
		for i, main := range s.main {
			mean, alone, side := main*p.z[0], math.Sqrt(1-main*main), 0.0
			for k, load := range s.rest[i] {
				side += load * p.z[k+1]
			}
			product *= within(mean, alone, w)
			one *= within(mean+side, s.own[i], w)
			other *= within(mean-side, s.own[i], w)
		}
		sum += p.weight * (product - (one+other)/2)
	}
	return sum
}

// within is the chance that a normal value stays within ±w.
func within(mean, sd, w float64) float64 {
	return 1 - NormalTail((w-mean)/sd) - NormalTail((w+mean)/sd)
}

// nearestLoads are the loads whose products come nearest to the correlations in squares,
// by turns, each load between −0.99 and 0.99.
func nearestLoads(r [][]float64) []float64 {
	loads := make([]float64, len(r))
	for i := range loads {
		loads[i] = 0.7
	}
	for range 50 {
		for i := range loads {
			over, under := 0.0, 0.0
			for j, l := range loads {
				if j != i {
					over, under = over+r[i][j]*l, under+l*l
				}
			}
			if under > 0 {
				loads[i] = math.Max(-0.99, math.Min(0.99, over/under))
			}
		}
	}
	return loads
}
