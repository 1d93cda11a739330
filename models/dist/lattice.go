package dist

import (
	"context"
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat"
)

const (
	latticeAim    = 1e-5 // three standard errors over the random shifts
	latticeShifts = 10
	latticeFirst  = 256  // points a shift to begin with
	latticeMost   = 8192 // … and at most
)

// lattice integrates the many-to-one probability for any correlation: variables
// separated one after another (Genz 1992; Genz & Bretz 2009, section 4.2), on a good
// lattice, randomly shifted and folded (Hickernell 2002); the shared sd as a mixture. The
// lattice sums only the difference from the nearest product form, which is integrated
// exactly. The shifts come from a fixed seed, so that an answer repeats.
type lattice struct {
	df        float64
	root      [][]float64 // lower triangular root of the correlations
	near      [][]float64 // the same of the nearest product form
	loads     []float64   // its loads
	shifts    [][]float64
	points    int
	generator []int      // one a dimension
	mixes     []*mixture // one a shift, so that they tell the error
}

func newLattice(correlation [][]float64, df float64) *lattice {
	l := &lattice{df: df, root: triangularRoot(correlation), points: latticeFirst}
	l.loads = nearestLoads(correlation)
	l.near = triangularRoot(fromLoads(l.loads))
	random := rand.New(rand.NewPCG(1992, 2009))
	for range latticeShifts {
		shift := make([]float64, len(correlation)-1)
		for i := range shift {
			shift[i] = random.Float64()
		}
		l.shifts = append(l.shifts, shift)
	}
	l.fresh()
	return l
}

// fresh starts the mixtures anew with the present number of points.
func (l *lattice) fresh() {
	l.generator = goodLattice(l.points, len(l.root)-1)
	exact := map[float64]float64{} // of the product form, by w
	l.mixes = nil
	for _, shift := range l.shifts {
		l.mixes = append(l.mixes, newMixture(l.df, 1, 0.2, func(w float64) float64 {
			if _, ok := exact[w]; !ok {
				exact[w] = anyBeyond(l.loads, w)
			}
			return exact[w] + l.correction(shift, w)
		}))
	}
}

// at gives the tail at c, its derivative by ln c and three standard errors, with as many
// points as the aim takes.
func (l *lattice) at(ctx context.Context, c float64) (tail, slope, within float64, err error) {
	for {
		tails := make([]float64, len(l.mixes))
		slope = 0
		for i, mix := range l.mixes {
			if err := ctx.Err(); err != nil {
				return 0, 0, 0, err
			}
			var s float64
			tails[i], s = mix.at(c)
			slope += s / float64(len(l.mixes))
		}
		mean, sd := stat.MeanStdDev(tails, nil)
		within = 3 * sd / math.Sqrt(float64(len(tails)))
		if within <= latticeAim || l.points >= latticeMost {
			return mean, slope, within, nil
		}
		l.points *= 2
		l.fresh()
	}
}

// point is the c at which the tail equals goal, by Newton's steps on logarithms from a
// start above it.
func (l *lattice) point(ctx context.Context, goal, start float64) (float64, error) {
	if goal == 0 || goal == 1 {
		return -math.Log(goal), nil // +Inf or 0
	}
	c := start
	for range 100 {
		p, slope, _, err := l.at(ctx, c)
		if err != nil {
			return math.NaN(), err
		}
		step := -math.Log(p/goal) * p / slope
		c *= math.Exp(step)
		if math.Abs(step) < 1e-12 {
			break
		}
	}
	return c, nil
}

// correction is how much likelier the correlated normal values are to leave ±w than
// those of the product form, by the points of one shift.
func (l *lattice) correction(shift []float64, w float64) float64 {
	if w < 1e-4 {
		return 0 // next to nothing stays inside
	}
	x, y := make([]float64, len(shift)), make([]float64, len(l.root))
	sum := 0.0
	for j := range l.points {
		for i, g := range l.generator {
			v := float64(j*g%l.points)/float64(l.points) + shift[i]
			x[i] = math.Abs(2*(v-math.Floor(v)) - 1)
		}
		sum += allInside(l.near, w, x, y) - allInside(l.root, w, x, y)
	}
	return sum / float64(l.points)
}

// allInside is the chance that every value stays within ±w when each is drawn, within
// its limits, at the place x says; y is room for the draws.
func allInside(root [][]float64, w float64, x, y []float64) float64 {
	inside := 1.0
	for i, row := range root {
		mean := 0.0
		for k := range i {
			mean += row[k] * y[k]
		}
		low, high := NormalTail((w+mean)/row[i]), NormalTail((w-mean)/row[i]) // beyond −w, beyond w
		width := 1 - low - high
		inside *= width
		if i < len(x) {
			y[i] = mathext.NormalQuantile(math.Min(math.Max(low+x[i]*width, 1e-300), 1-1e-16))
		}
	}
	return inside
}

// goodLattice is a generating vector for n points, a power of two, in d dimensions: one
// component after another so that the squared error over periodic functions with square
// mixed derivatives is least, later dimensions counting less (Sloan & Reztsov 2002).
func goodLattice(n, d int) []int {
	kernel := make([]float64, n)
	for i := range kernel {
		x := float64(i) / float64(n)
		kernel[i] = 2 * math.Pi * math.Pi * (x*x - x + 1./6)
	}
	product := make([]float64, n)
	for i := range product {
		product[i] = 1
	}
	var generator []int
	for s := range d {
		weight := 1 / float64(s+1)
		best, least := 1, math.Inf(1)
		for g := 1; g <= n/2 && s > 0; g += 2 {
			sum := 0.0
			for j, p := range product {
				sum += p * kernel[j*g&(n-1)]
			}
			if sum < least {
				best, least = g, sum
			}
		}
		for j := range product {
			product[j] *= 1 + weight*kernel[j*best&(n-1)]
		}
		generator = append(generator, best)
	}
	return generator
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

// fromLoads is the correlation matrix of a product form.
func fromLoads(loads []float64) [][]float64 {
	r := make([][]float64, len(loads))
	for i := range r {
		r[i] = make([]float64, len(loads))
		for j := range r[i] {
			r[i][j] = loads[i] * loads[j]
			if i == j {
				r[i][j] = 1
			}
		}
	}
	return r
}

// triangularRoot is the lower triangular root of a correlation matrix; where nothing is
// left of a value after those before it, a speck of 1e-8 keeps it apart.
func triangularRoot(r [][]float64) [][]float64 {
	root := make([][]float64, len(r))
	for i := range r {
		root[i] = make([]float64, len(r))
		for j := 0; j <= i; j++ {
			rest := r[i][j]
			for k := range j {
				rest -= root[i][k] * root[j][k]
			}
			if i == j {
				root[i][i] = math.Sqrt(math.Max(rest, 1e-16))
			} else {
				root[i][j] = rest / root[j][j]
			}
		}
	}
	return root
}
