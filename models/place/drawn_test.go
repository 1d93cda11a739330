package place

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// plain is a series in the order of x, with the sums that give the residual squares of any one step in it.
type plain struct{ x, sum, square []float64 }

func inOrder(d Data, y []float64) plain {
	order := make([]int, len(y))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return int(math.Copysign(1, d.X[a]-d.X[b])) })
	p := plain{sum: []float64{0}, square: []float64{0}}
	for k, i := range order {
		p.x = append(p.x, d.X[i])
		p.sum, p.square = append(p.sum, p.sum[k]+y[i]), append(p.square, p.square[k]+y[i]*y[i])
	}
	return p
}

// squares are what two means leave, with the first k specimens before the step, or one mean with k of 0.
func (p plain) squares(k int) float64 {
	n := len(p.x)
	out := p.square[n]
	if k > 0 {
		out -= p.sum[k] * p.sum[k] / float64(k)
	}
	rest := p.sum[n] - p.sum[k]
	return out - rest*rest/float64(n-k)
}

// steps are after how many specimens there can be one, so many at least on each side.
func (p plain) steps(side int) (out []int) {
	for k := side; k <= len(p.x)-side; k++ {
		if p.x[k-1] < p.x[k] {
			out = append(out, k)
		}
	}
	return out
}

func (p plain) best(side int) (at int, least float64) {
	least = math.Inf(1)
	for _, k := range p.steps(side) {
		if s := p.squares(k); s < least {
			at, least = k, s
		}
	}
	return at, least
}

// about is what a straight line through all specimens leaves of y.
func about(x, y []float64) (rest []float64, squares float64) {
	n, mx, my := float64(len(x)), 0.0, 0.0
	for i := range x {
		mx, my = mx+x[i]/n, my+y[i]/n
	}
	xx, xy := 0.0, 0.0
	for i := range x {
		xx, xy = xx+(x[i]-mx)*(x[i]-mx), xy+(x[i]-mx)*(y[i]-my)
	}
	for i := range x {
		r := y[i] - my - xy/xx*(x[i]-mx)
		rest, squares = append(rest, r), squares+r*r
	}
	return rest, squares
}

// The probabilities against the same reshuffles made here from their definitions: the residuals about the mean
// (Freedman and Lane 1983), judged by the squares that two means leave at the best place, and those about a straight
// line, judged by the squares that line and step leave. Both are shares of some thousand draws.
func TestProbabilitiesOfAStep(t *testing.T) {
	const draws = 2000
	r := rand.New(rand.NewPCG(5, 5))
	for _, c := range []struct {
		seed uint64
		size float64
	}{{11, 0}, {12, 0.7}, {13, 0.9}, {14, 0.5}} {
		d := invented(c.seed, 36, Step, c.size)
		f := find(t, Step, d)
		side := OnASide(36)
		own := inOrder(d, d.Y)
		_, least := own.best(side)
		line, lineSquares := about(d.X, d.Y)
		same, sameLine := 0, 0
		y, shuffled := slices.Clone(d.Y), slices.Clone(line)
		for range draws {
			r.Shuffle(len(y), func(i, j int) { y[i], y[j] = y[j], y[i] })
			if _, s := inOrder(d, y).best(side); s <= least {
				same++
			}
			r.Shuffle(len(y), func(i, j int) { shuffled[i], shuffled[j] = shuffled[j], shuffled[i] })
			again := make([]float64, len(y))
			for i := range again {
				again[i] = d.Y[i] - line[i] + shuffled[i]
			}
			_, step := inOrder(d, again).best(side)
			if _, s := about(d.X, again); s/step >= lineSquares/least {
				sameLine++
			}
		}
		for _, p := range [][2]float64{{f.P, float64(same) / draws}, {f.PLine, float64(sameLine) / draws}} {
			if !(math.Abs(p[0]-p[1]) <= 4.5*math.Sqrt(2*(p[1]+0.001)*(1-p[1])/draws)) {
				t.Errorf("a jump of %g sds: %.4f, by other draws %.4f", c.size, p[0], p[1])
			}
		}
	}
}

// The interval of the place is what the parametric bootstrap at every gap does not refuse, here made from its
// definition with other draws: a step of the size found there and normal residuals of the sd left there; the ends agree
// wherever a critical value an eighth larger or smaller leaves them where they are.
func TestIntervalOfAStep(t *testing.T) {
	const draws = 500
	r := rand.New(rand.NewPCG(8, 1))
	settled := 0
	for _, seed := range []uint64{21, 22, 23, 24} {
		d := invented(seed, 36, Step, 1.6)
		f := find(t, Step, d)
		side, n := OnASide(36), 36.0
		own := inOrder(d, d.Y)
		at, least := own.best(side)
		if f.Before != own.x[at-1] || f.Beyond != own.x[at] || f.At != (own.x[at-1]+own.x[at])/2 || f.DF != n-3 {
			t.Errorf("%+v, want a step between %g and %g", f, own.x[at-1], own.x[at])
		}
		sorted := Data{X: own.x}
		var low, high [3]float64
		for i := range low {
			low[i], high[i] = math.Inf(1), math.Inf(-1)
		}
		for _, k := range own.steps(side) {
			size := (own.sum[36]-own.sum[k])/(n-float64(k)) - own.sum[k]/float64(k)
			sd := math.Sqrt(own.squares(k) / (n - 2))
			var drawn []float64
			for range draws {
				y := make([]float64, 36)
				for i := range y {
					if y[i] = sd * r.NormFloat64(); i >= k {
						y[i] += size
					}
				}
				p := inOrder(sorted, y)
				_, s := p.best(side)
				drawn = append(drawn, n*(p.squares(k)-s)/s)
			}
			slices.Sort(drawn)
			critical := drawn[int(0.95*draws)]
			for i, by := range []float64{7.0 / 8, 1, 8.0 / 7} {
				if n*(own.squares(k)-least)/least <= critical*by+1e-9 {
					low[i], high[i] = min(low[i], own.x[k-1]), max(high[i], own.x[k])
				}
			}
		}
		for _, end := range [][4]float64{{f.Low, low[0], low[1], low[2]}, {f.High, high[0], high[1], high[2]}} {
			if end[1] != end[3] {
				continue
			}
			if settled++; end[0] != end[2] {
				t.Errorf("series %d: an end at %g, by other draws %g", seed, end[0], end[2])
			}
		}
	}
	if settled < 4 {
		t.Errorf("only %d of 8 ends are settled", settled)
	}
}

// A kink on a value lies there; one between two values has them beside it.
func TestBesideAKink(t *testing.T) {
	for _, at := range []float64{9, 9.5} {
		d := Data{Base: [][]float64{slices.Repeat([]float64{1}, 20)}}
		r := rand.New(rand.NewPCG(2, 2))
		for i := range 20 {
			x := float64(i)
			d.X, d.Y = append(d.X, x), append(d.Y, 5*max(0, x-at)+1e-4*r.NormFloat64())
		}
		if at == 9 { // exactly there, not beside it by rounding
			for i, x := range d.X {
				d.Y[i] = math.Copysign(1e-4, float64(i%2)-0.5) * (x - 9) * (x - 9)
				d.Y[i] += 5 * max(0, x-at)
			}
		}
		d.Base = append(d.Base, d.X)
		f := find(t, Kink, d)
		if !(math.Abs(f.At-at) <= 1e-2) || f.Before > f.At || f.Beyond < f.At || f.Beyond-f.Before > 1 ||
			(f.Before == f.Beyond) != (f.Before == f.At) {
			t.Errorf("%g: %+v", at, f)
		}
	}
}

// Between two places that were drawn at the critical value is on the line between them, beyond them it is theirs.
func TestInterpolated(t *testing.T) {
	at, critical := []int{2, 6, 16}, []float64{8, 4, 9}
	for i, want := range map[int]float64{0: 8, 2: 8, 3: 7, 5: 5, 6: 4, 8: 5, 14: 8, 16: 9, 20: 9} {
		if got := interpolated(at, critical, i); got != want {
			t.Errorf("at %d: %g, want %g", i, got, want)
		}
	}
}

// The place is a parameter and the change another: of nine specimens six terms leave one degree of freedom, which is
// enough.
func TestOneDegreeOfFreedomIsEnough(t *testing.T) {
	d := Data{Base: [][]float64{slices.Repeat([]float64{1}, 9)}, Y: []float64{3, 1, 4, 1, 5, 9, 2, 6, 5}}
	for i := range 9 {
		d.X = append(d.X, float64(i))
	}
	for i := 0; i < 9; i += 2 {
		column := make([]float64, 9)
		column[i] = 1
		d.Base = append(d.Base, column)
	}
	if f := find(t, Step, d); f.DF != 1 || f.Looked != 2 {
		t.Errorf("%+v", f)
	}
}
