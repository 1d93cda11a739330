package dist

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// split is a way to make m correlated standard normal values from independent ones:
// main[i]·z0 + rest[i]·z1 + own[i]·e(i).
type split struct{ main, rest, own []float64 }

// twoFactors looks for loads on two factors whose products are the correlations, within
// 1e-11: least squares by Levenberg–Marquardt, from the nearest product form and the longest
// axis of what it leaves. ok is false where there are none that leave each value enough of
// its own.
func twoFactors(r [][]float64) (s split, ok bool) {
	m := len(r)
	loads := mat.NewDense(m, 2, nil)
	residual := mat.NewSymDense(m, nil)
	loads.SetCol(0, nearestLoads(r))
	for i := range r {
		for j := range i {
			residual.SetSym(i, j, r[i][j]-loads.At(i, 0)*loads.At(j, 0))
		}
	}
	var eigen mat.EigenSym
	if !eigen.Factorize(residual, true) {
		return s, false
	}
	var axes mat.Dense
	eigen.VectorsTo(&axes)
	for i := range m {
		loads.Set(i, 1, axes.At(i, m-1)*math.Sqrt(math.Max(eigen.Values(nil)[m-1], 1e-3)))
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
	var turn mat.SVD
	turn.Factorize(loads, mat.SVDThin)
	var v, turned mat.Dense
	turn.VTo(&v)
	turned.Mul(loads, &v)
	for i := range m {
		x, y := turned.At(i, 0), turned.At(i, 1)
		unique := 1 - x*x - y*y
		if !(unique > 1e-3) {
			return s, false
		}
		s.main, s.rest, s.own = append(s.main, x), append(s.rest, y), append(s.own, math.Sqrt(unique))
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

// anyBeyond is the chance that any of the values leaves ±w, to eight digits and more: the trapezium rule
// in both, over half the plane as z and −z are alike.
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
				mean := main*x + s.rest[i]*y
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

// nearestLoads are the loads whose products come nearest to the correlations in squares,
// by turns, each load between −0.99 and 0.99.
func nearestLoads(r [][]float64) []float64 {
	loads := slices.Repeat([]float64{0.7}, len(r))
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
