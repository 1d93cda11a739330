package linear

import (
	"context"
	"encoding/binary"
	"math"

	"gonum.org/v1/gonum/mat"

	"breakbook/models/lists"
	"breakbook/models/parallel"
)

const (
	// mostShared is how many different rows are looked for among the specimens. Where there
	// are more, the rest are held one by one: number columns seldom repeat together.
	mostShared = 1 << 12
	// highLeverage is the leverage from which a row's pairs are summed one by one, since the
	// sum by moments loses digits there. Fewer than twice as many rows as columns have it.
	highLeverage = 0.5
	// noPart is the share of a combination's squared length below which a row has no part in it.
	noPart = 1e-28
)

// pairing is the rows of a fit, √weight times each, as degrees of freedom without equal
// spread ask for them. For combinations s of the response with weights a_s on it they rest on
//
//	J = Σ_ij (m_ij·p_ij)² / ((1 − h_i)(1 − h_j)),  M = I − H,  p_ij = Σ_s a_si·a_sj.
//
// m_ij is an inner product of two rows, so that J is a sum of squared moments of the rows,
// and no matrix of specimens by specimens is needed. Rows that specimens share are held once;
// specimens alone on their level are not in it.
type pairing struct {
	start         []int // entries of row g are start[g] up to start[g+1]
	index         []int32
	value         []float64
	many          []float64 // specimens that share the row
	residualShare []float64 // 1 − leverage
	// variance is that of the specimens of each row, as found, where each row has a mean of its own (there are as many
	// as the model has columns); nil elsewhere.
	variance []float64
	width    int
	// Rows of a model with many levels are mostly zeros as columns, and not as coordinates:
	// where the columns are well conditioned rows are theirs, root is R⁻¹ and inner is
	// R⁻¹R⁻ᵀ. Otherwise both are nil and rows are coordinates.
	root, inner [][]float64
	fourth      *fourth // nil where it is less work to do without
}

// combination is one in coordinates, and its weights on the response by row.
type combination struct{ along, weights []float64 }

// newPairing takes the coordinates of every specimen, as Rows gives them, what leverage
// leaves of it, 0 for one alone on its level, and how many of those there are. It looks at ctx.
func newPairing(ctx context.Context, f *Fit, rows [][]float64, residualShare []float64, alone int) *pairing {
	b := &pairing{start: []int{0}, width: len(f.factor.r)}
	t := f.factor.table
	sparse := f.factor.kappa < easyBelow && 2*t.filled(ctx) <= t.n*b.width
	if sparse {
		b.takeRoot(ctx, f.factor.inverse)
	}
	raw, met := newRow(b.width), map[string]int{}
	var squares []float64 // of the residuals of each row's specimens
	for i, q := range rows {
		parallel.LookAt(ctx, i)
		if q == nil || residualShare[i] == 0 {
			continue
		}
		raw.n = 0
		if sparse {
			t.gather(raw, i)
		} else {
			for j, v := range q {
				if v != 0 {
					raw.push(j, v, 0)
				}
			}
		}
		root := math.Sqrt(f.Weight(i))
		for k := range raw.n {
			raw.hi[k] *= root
		}
		if len(met) < mostShared {
			key := string(raw.key())
			if g, ok := met[key]; ok {
				b.many[g]++
				squares[g] += f.Weight(i) * f.Residuals[i] * f.Residuals[i]
				continue
			}
			met[key] = len(b.many)
		}
		b.push(raw, residualShare[i])
		squares = append(squares, f.Weight(i)*f.Residuals[i]*f.Residuals[i])
	}
	if len(b.many)+alone == b.width {
		b.takeVariance(squares)
	}
	b.takeFourth(ctx, f.factor.kappa)
	return b
}

// takeVariance holds the variance of the specimens of each row, of sums of squares about their means.
func (b *pairing) takeVariance(squares []float64) {
	for g, n := range b.many {
		b.variance = append(b.variance, squares[g]/(n-1))
	}
}

// takeRoot holds R⁻¹ and R⁻¹R⁻ᵀ.
func (b *pairing) takeRoot(ctx context.Context, inverse square) {
	b.root, b.inner = make([][]float64, b.width), make([][]float64, b.width)
	for j, line := range inverse {
		b.root[j] = narrowed(line)
	}
	for j := range b.inner {
		parallel.Look(ctx)
		b.inner[j] = make([]float64, b.width)
		for k := range b.inner[j] {
			for c := max(j, k); c < b.width; c++ {
				b.inner[j][k] += b.root[j][c] * b.root[k][c]
			}
		}
	}
}

func (b *pairing) push(r *row, residualShare float64) {
	for k := range r.n {
		b.index, b.value = append(b.index, int32(r.index[k])), append(b.value, r.hi[k])
	}
	b.start = append(b.start, len(b.index))
	b.many, b.residualShare = append(b.many, 1), append(b.residualShare, residualShare)
}

// key tells rows apart.
func (r *row) key() []byte {
	out := make([]byte, 0, 12*r.n)
	for k := range r.n {
		out = binary.LittleEndian.AppendUint32(out, uint32(r.index[k]))
		out = binary.LittleEndian.AppendUint64(out, math.Float64bits(r.hi[k]))
	}
	return out
}

// filled counts the cells that are not zero.
func (t *table) filled(ctx context.Context) int {
	n := 0
	for _, column := range t.hi {
		for i, v := range column {
			parallel.LookAt(ctx, i)
			if v != 0 {
				n++
			}
		}
	}
	return n
}

// combination has its weights worked out.
func (b *pairing) combination(ctx context.Context, t []float64) combination {
	c := t
	if b.root != nil {
		c = make([]float64, b.width)
		for j, line := range b.root {
			for k := j; k < b.width; k++ {
				c[j] += line[k] * t[k]
			}
		}
	}
	a := make([]float64, len(b.many))
	for g := range a {
		parallel.LookAt(ctx, g)
		a[g] = b.times(g, c)
	}
	return combination{t, a}
}

// times is row g times c.
func (b *pairing) times(g int, c []float64) float64 {
	sum := 0.0
	for k := b.start[g]; k < b.start[g+1]; k++ {
		sum += b.value[k] * c[b.index[k]]
	}
	return sum
}

// freedom is the degrees of freedom of one combination (Bell and McCaffrey
// 2002, Survey Methodology 28, 169–181; Imbens and Kolesár 2016, Rev. Econ. Statist. 98,
// 701–712): a length squared over J, NaN for no combination at all. Where rows have means of
// their own it is Welch's (1947, Biometrika 34, equation 28), with their variances as found.
func (b *pairing) freedom(ctx context.Context, one combination) float64 {
	if own := b.ownFreedom(one.weights); own > 0 {
		return own
	}
	length := 0.0
	for g, v := range one.weights {
		length += b.many[g] * v * v
	}
	return length * length / b.sum(ctx, []combination{one})
}

// ownFreedom is twice the square of a combination's variance over the variance of that; NaN where rows have no means
// of their own, or none of them a spread.
func (b *pairing) ownFreedom(weights []float64) float64 {
	whole, squares := 0.0, 0.0
	for g, variance := range b.variance {
		part := b.many[g] * weights[g] * weights[g] * variance
		whole += part
		squares += part * part / (b.many[g] - 1)
	}
	return whole * whole / squares
}

// kinds is how many rows with a mean of their own have a part in a combination; 0 where rows have none.
func (b *pairing) kinds(one combination) (kinds int) {
	length := 0.0
	for g := range b.variance {
		length += b.many[g] * one.weights[g] * one.weights[g]
	}
	for g := range b.variance {
		if one.weights[g]*one.weights[g] > noPart*length {
			kinds++
		}
	}
	return kinds
}

// eta is the degrees of freedom of the Wishart distribution that stands for the covariance of
// q combinations with orthonormal weights: q(q + 1) over the sum of the variances of its
// entries, which is 2J (Pustejovsky and Tipton 2018, J. Bus. Econ. Statist. 36, 672–683).
func (b *pairing) eta(ctx context.Context, of []combination) float64 {
	q := float64(len(of))
	return q * (q + 1) / (2 * b.sum(ctx, of))
}

// ownShares is A of Johansen (1980, Biometrika 67, 85–92, his theorem): of rows with means of their own each one's
// squared share in the covariance of the combinations over the freedom of its variance, summed. It is NaN where there
// are none, or no covariance to invert.
func (b *pairing) ownShares(of []combination) float64 {
	q := len(of)
	covariance := mat.NewSymDense(q, nil)
	shares := make([]*mat.VecDense, len(b.variance))
	for g, variance := range b.variance {
		shares[g] = mat.NewVecDense(q, nil)
		for s, one := range of {
			shares[g].SetVec(s, math.Sqrt(b.many[g]*variance)*one.weights[g])
		}
		covariance.SymRankOne(covariance, 1, shares[g])
	}
	var root mat.Cholesky
	var turned mat.VecDense
	if len(shares) == 0 || !root.Factorize(covariance) {
		return math.NaN()
	}
	sum := 0.0
	for g, share := range shares {
		if root.SolveVecTo(&turned, share) != nil {
			return math.NaN()
		}
		part := mat.Dot(share, &turned)
		sum += part * part / (b.many[g] - 1)
	}
	return sum
}

// sum is J.
func (b *pairing) sum(ctx context.Context, of []combination) float64 {
	a := lists.Made(len(of), func(s int) []float64 { return of[s].weights })
	own, length := make([]float64, len(b.many)), 0.0
	for g := range own {
		parallel.LookAt(ctx, g)
		for _, one := range a {
			own[g] += one[g] * one[g]
		}
		length += b.many[g] * own[g]
	}
	var singly, rest []int
	entries := 0
	for g, v := range own {
		switch {
		case !(v > noPart*length):
			continue
		case 1-b.residualShare[g] > highLeverage:
			singly = append(singly, g)
		default:
			rest = append(rest, g)
		}
		entries += b.start[g+1] - b.start[g]
	}
	n, q := float64(len(singly)+len(rest)), float64(len(a))
	filled := float64(entries) / max(n, 1)
	moments := b.momentsWork(n, filled, q)
	byFourth := b.fourth != nil && b.fourthWork(q) < moments
	if byFourth {
		moments = b.fourthWork(q)
	}
	if b.pairsWork(n, filled, q) <= moments {
		singly, rest, byFourth = append(singly, rest...), nil, false
	}
	j := b.singly(ctx, a, own, singly, rest)
	for _, g := range rest {
		// Of J the moments hold what all pairs would be without the 1 of M's diagonal.
		j += b.many[g] * own[g] * own[g] * (2*b.residualShare[g] - 1) / (b.residualShare[g] * b.residualShare[g])
	}
	if byFourth {
		return j + b.fourth.squares(ctx, b, of)
	}
	return j + b.moments(ctx, a, rest)
}

// pairsWork is about how many steps it is to go over all pairs of n rows with so many entries
// each, for q combinations; momentsWork and fourthWork are the same by moments.
func (b *pairing) pairsWork(n, filled, q float64) float64 { return n * n / 2 * (filled + q) }

func (b *pairing) momentsWork(n, filled, q float64) float64 {
	p := float64(b.width)
	turning := p * p
	if b.inner != nil {
		turning *= min(p, filled*filled)
	}
	return q * (q + 1) / 2 * (n*filled*(filled+1)/2 + turning)
}

func (b *pairing) fourthWork(q float64) float64 {
	p := float64(b.width)
	return q * (p*p*p*p + q/2*p*p*p)
}

// singly is the part of J with a row of some in it, the other one of some or of rest.
func (b *pairing) singly(ctx context.Context, a [][]float64, own []float64, some, rest []int) float64 {
	parts := make([]float64, len(some))
	b.each(ctx, len(some), len(some)*(len(some)+len(rest))*len(a), func(ctx context.Context, i int) {
		g := some[i]
		h, share := 1-b.residualShare[g], b.residualShare[g]
		part := b.many[g] * own[g] * own[g] * (share*share + (b.many[g]-1)*h*h) / (share * share)
		turned := make([]float64, b.width)
		for k := b.start[g]; k < b.start[g+1]; k++ {
			if b.inner == nil {
				turned[b.index[k]] = b.value[k]
				continue
			}
			for j, v := range b.inner[b.index[k]] {
				turned[j] += b.value[k] * v
			}
		}
		with := func(k, o int) {
			parallel.LookAt(ctx, k)
			along := 0.0
			for _, one := range a {
				along += one[g] * one[o]
			}
			along *= b.times(o, turned)
			part += 2 * b.many[g] * b.many[o] * along * along / (share * b.residualShare[o])
		}
		for k, o := range some[i+1:] {
			with(k, o)
		}
		for k, o := range rest {
			with(k, o)
		}
		parts[i] = part
	})
	sum := 0.0
	for _, part := range parts {
		sum += part
	}
	return sum
}

// moments is the sum over all pairs of rows, a row with itself too, of (h_ij·p_ij)² over what
// is left of both: for each two combinations the squared length of Σ a_s·a_t/(1 − h)·qq'.
func (b *pairing) moments(ctx context.Context, a [][]float64, rows []int) float64 {
	if len(rows) == 0 {
		return 0
	}
	pairs := make([][2]int, 0, len(a)*(len(a)+1)/2)
	for s := range a {
		for t := range s + 1 {
			pairs = append(pairs, [2]int{s, t})
		}
	}
	parts := make([]float64, len(pairs))
	b.each(ctx, len(pairs), len(pairs)*len(rows), func(ctx context.Context, i int) {
		s, t := pairs[i][0], pairs[i][1]
		parts[i] = b.moment(ctx, a[s], a[t], rows)
		if s != t {
			parts[i] *= 2
		}
	})
	sum := 0.0
	for _, part := range parts {
		sum += part
	}
	return sum
}

func (b *pairing) moment(ctx context.Context, s, t []float64, rows []int) float64 {
	m := lists.Made(b.width, func(j int) []float64 { return make([]float64, b.width) })
	for k, g := range rows {
		parallel.LookAt(ctx, k)
		index, value := b.index[b.start[g]:b.start[g+1]], b.value[b.start[g]:b.start[g+1]]
		by := b.many[g] * s[g] * t[g] / b.residualShare[g]
		for i, j := range index {
			line, v := m[j], by*value[i]
			for l := i; l < len(index); l++ {
				line[index[l]] += v * value[l]
			}
		}
	}
	for j := range m {
		for k := range j {
			m[j][k] = m[k][j]
		}
	}
	turned := m
	if b.inner != nil {
		met := make([][]int, b.width) // cells that are not zero
		for j, line := range m {
			for k, v := range line {
				if v != 0 {
					met[j] = append(met[j], k)
				}
			}
		}
		turned = make([][]float64, b.width)
		for j, line := range b.inner {
			parallel.Look(ctx)
			turned[j] = make([]float64, b.width)
			for k, by := range line {
				for _, l := range met[k] {
					turned[j][l] += by * m[k][l]
				}
			}
		}
	}
	sum := 0.0
	for j, line := range turned {
		for k, v := range line {
			sum += v * turned[k][j]
		}
	}
	return sum
}

// worthSharing is how many steps make it worth giving work to several cores.
const worthSharing = 1 << 16

// each does pieces of work of so many steps in all, on several cores where that is worth it.
func (b *pairing) each(ctx context.Context, pieces, steps int, work func(ctx context.Context, i int)) {
	if steps < worthSharing {
		for i := range pieces {
			work(ctx, i)
		}
		return
	}
	parallel.Heed(parallel.Each(ctx, pieces, func(ctx context.Context, i int) error {
		work(ctx, i)
		return nil
	}))
}
