package strength

import (
	"cmp"
	"context"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"breakbook/models/lists"
	"breakbook/models/parallel"
)

// model is the log likelihood in γ = coefficients ÷ spread and τ = 1 ÷ spread, with ln load
// measured from its mean and each column divided by its usual size. Specimens whose columns
// are alike stand together, so that their second derivatives are summed before they meet
// the columns.
type model struct {
	d        Distribution
	columns  [][]float64 // by column, one value a group
	groups   [][2]int    // from, to in y
	y        []float64   // ln load − middle, in the order of the groups
	broke    []bool
	middle   float64
	unit     []float64
	ended    int
	scatter  float64 // sd of y
	ownScale float64 // what takes the log likelihood to the load's own scale: −Σ ln load of the breaks
}

func newModel(ctx context.Context, s Sample, d Distribution) *model {
	n := len(s.Load)
	m := &model{d: d, y: make([]float64, n), broke: make([]bool, n), unit: make([]float64, len(s.Columns))}
	order, lns := make([]int, n), make([]float64, n)
	for i := range order {
		parallel.LookAt(ctx, i)
		order[i], lns[i] = i, math.Log(s.Load[i])
		m.middle += lns[i] / float64(n)
	}
	compare := func(a, b int) int {
		for _, c := range s.Columns {
			if order := cmp.Compare(c[a], c[b]); order != 0 {
				return order
			}
		}
		return 0
	}
	parallel.SortFunc(ctx, order, compare)
	for at, i := range order {
		parallel.LookAt(ctx, at)
		ln := lns[i]
		m.y[at], m.broke[at] = ln-m.middle, s.Ended[i]
		m.scatter += m.y[at] * m.y[at] / float64(n)
		if s.Ended[i] {
			m.ended++
			m.ownScale -= ln
		}
		if at == 0 || compare(order[at-1], i) != 0 {
			m.groups = append(m.groups, [2]int{at, at})
		}
		m.groups[len(m.groups)-1][1] = at + 1
	}
	m.scatter = math.Sqrt(m.scatter)
	for j, c := range s.Columns {
		for _, x := range c {
			m.unit[j] += x * x / float64(n)
		}
		if m.unit[j] = math.Sqrt(m.unit[j]); m.unit[j] == 0 {
			m.unit[j] = 1
		}
		values := lists.Mapped(m.groups, func(span [2]int) float64 { return c[order[span[0]]] / m.unit[j] })
		m.columns = append(m.columns, values)
	}
	return m
}

// constant reports whether a column is the same for every specimen: the baseline.
func (m *model) constant(j int) bool {
	first := m.columns[j][0]
	return first != 0 && !slices.ContainsFunc(m.columns[j], func(x float64) bool { return x != first })
}

// start is a spread of that of the loads about their mean.
func (m *model) start() []float64 {
	theta := make([]float64, m.Size())
	theta[len(m.columns)] = 1 / math.Max(m.scatter, 1e-3)
	return theta
}

// Size is one parameter a column, and the inverse spread.
func (m *model) Size() int { return len(m.columns) + 1 }

// At is the log likelihood: of a break ln τ + ln density(z), of a censored specimen
// ln survival(z), with z = τ y − columns·γ.
func (m *model) At(ctx context.Context, theta, gradient []float64, curvature *mat.SymDense) float64 {
	k := len(m.columns)
	tau := theta[k]
	if !(tau > 0) {
		return math.Inf(-1)
	}
	total := float64(m.ended) * math.Log(tau)
	x, half := make([]float64, k), make([]float64, (k+1)*(k+1))
	for g, span := range m.groups {
		parallel.LookAt(ctx, g)
		place := 0.0
		for j := range x {
			x[j] = m.columns[j][g]
			place += x[j] * theta[j]
		}
		var sum sums
		for i := span[0]; i < span[1]; i++ {
			parallel.LookAt(ctx, i-span[0]+1)
			y := m.y[i]
			v := m.d.at(tau*y-place, m.broke[i])
			sum.value += v.ln
			sum.slope += v.slope
			sum.slopeY += v.slope * y
			sum.bend += v.bend
			sum.bendY += v.bend * y
			sum.bendYY += v.bend * y * y
		}
		if !(sum.value-sum.value == 0) || !(sum.bendYY-sum.bendYY == 0) {
			return math.Inf(-1)
		}
		total += sum.value
		sum.spread(x, gradient, half)
	}
	gradient[k] += float64(m.ended) / tau
	half[len(half)-1] += float64(m.ended) / (tau * tau)
	for i := range k + 1 {
		for j := i; j <= k; j++ {
			curvature.SetSym(i, j, half[i*(k+1)+j])
		}
	}
	return total
}

// sums are a group's log likelihood and its derivatives by z, with the powers of y that
// the derivatives by τ bring in.
type sums struct{ value, slope, slopeY, bend, bendY, bendYY float64 }

// spread adds a group's derivatives to those of all, the second ones to the upper half of
// a square matrix by rows.
func (s sums) spread(x, gradient, half []float64) {
	k := len(x)
	for i, a := range x {
		if a == 0 {
			continue
		}
		gradient[i] -= a * s.slope
		row := half[i*(k+1) : (i+1)*(k+1)]
		bend := a * s.bend
		for j := i; j < k; j++ {
			row[j] += bend * x[j]
		}
		row[k] -= a * s.bendY
	}
	gradient[k] += s.slopeY
	half[len(half)-1] += s.bendYY
}

// piece is one specimen's log likelihood at z, its slope and, with the sign turned, its
// second derivative.
type piece struct{ ln, slope, bend float64 }

// at is a break's ln density or a survivor's ln survival.
func (d Distribution) at(z float64, broke bool) piece {
	if d == Weibull { // smallest extreme value: ln density z − e^z, ln survival −e^z
		e := math.Exp(z)
		if broke {
			return piece{z - e, 1 - e, e}
		}
		return piece{-e, -e, e}
	}
	if broke {
		return piece{-z*z/2 - lnRoot2Pi, -z, 1}
	}
	ln, hazard := normalSurvival(z)
	return piece{ln, -hazard, hazard * (hazard - z)}
}

const lnRoot2Pi = 0.918938533204672741780329736406 // ½ ln 2π

// normalSurvival is ln of the chance that a standard normal value exceeds z, and its hazard,
// density ÷ survival. Far out by the continued fraction of Laplace (Abramowitz & Stegun
// 1964, 26.2.14).
func normalSurvival(z float64) (ln, hazard float64) {
	if z < 6 {
		survival := 0.5 * math.Erfc(z/math.Sqrt2)
		ln = math.Log(survival)
		if z < -5 {
			ln = math.Log1p(-0.5 * math.Erfc(-z/math.Sqrt2))
		}
		return ln, math.Exp(-z*z/2-lnRoot2Pi) / survival
	}
	fraction := z
	for k := 60; k >= 1; k-- {
		fraction = z + float64(k)/fraction
	}
	return -z*z/2 - lnRoot2Pi - math.Log(fraction), fraction
}
