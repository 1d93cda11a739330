package dist

import (
	"context"
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/stat"
)

const (
	latticeAim    = 1e-5 // three standard errors over the random shifts
	latticeShifts = 10
	latticeFirst  = 512  // points a shift to begin with
	latticeMost   = 4096 // … and at most
)

// lattice integrates the many-to-one probability for any correlation. The values are
// split into shared factors and what each has for itself (factors.go), so that given the
// factors the variables are separate; the factors are laid on a randomly shifted good
// lattice (Genz & Bretz 2009, chapter 4); the shared sd is a mixture. The lattice sums
// only the difference from the product form of the main factor, which is integrated
// exactly. The shifts come from a fixed seed, so that an answer repeats.
type lattice struct {
	df     float64
	split  split
	shifts [][]float64
	points int
	mixes  []*mixture // one a shift, so that they tell the error
	stop   func() error
}

func newLattice(s split, df float64) *lattice {
	l := &lattice{df: df, split: s, points: latticeFirst}
	random := rand.New(rand.NewPCG(1992, 2009))
	for range latticeShifts {
		shift := make([]float64, 1+len(s.rest[0]))
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
	generator := goodLattice(l.points, len(l.shifts[0]))
	exact := map[float64]float64{} // of the product form, by w
	l.mixes = nil
	for _, shift := range l.shifts {
		points := latticePoints(l.points, generator, shift)
		mix := newMixture(l.df, 1, 0.2, func(w float64) float64 {
			if l.stop() != nil {
				return math.NaN() // ends the sum it goes into
			}
			if _, ok := exact[w]; !ok {
				exact[w] = anyBeyond(l.split.main, w)
			}
			return exact[w] + l.split.correction(points, w)
		})
		mix.step, mix.small = math.Min(0.2, 0.6/math.Sqrt(l.df)), 1e-9 // far finer than the lattice
		l.mixes = append(l.mixes, mix)
	}
}

// weighted is a point in the space of the factors and the share of their density it
// stands for.
type weighted struct {
	z      []float64
	weight float64
}

// latticePoints are the lattice points of one shift, spread over the whole space by the
// logistic distribution's quantiles: with the normal density over the logistic one as
// weight, the integrand and all its derivatives vanish at the ends, as a lattice likes.
func latticePoints(n int, generator []int, shift []float64) []weighted {
	scale := 1.1
	if len(generator) > 4 {
		scale = 0.7 // the weights of many factors multiply: keep them even
	}
	out := make([]weighted, n)
	for j := range out {
		out[j] = weighted{make([]float64, len(generator)), 1 / float64(n)}
		for i, g := range generator {
			x := float64(j*g%n)/float64(n) + shift[i]
			x = math.Min(math.Max(x-math.Floor(x), 1e-16), 1-1e-16)
			z := scale * math.Log(x/(1-x))
			out[j].z[i] = z
			out[j].weight *= math.Exp(-z*z/2) / math.Sqrt(2*math.Pi) * scale / (x * (1 - x))
		}
	}
	return out
}

// at gives the tail at c, its derivative by ln c and three standard errors, with as many
// points as the aim takes.
func (l *lattice) at(ctx context.Context, c float64) (tail, slope, within float64, err error) {
	l.stop = ctx.Err
	for {
		tails := make([]float64, len(l.mixes))
		slope = 0
		for i, mix := range l.mixes {
			var s float64
			tails[i], s = mix.at(c)
			slope += s / float64(len(l.mixes))
			if err := ctx.Err(); err != nil {
				return 0, 0, 0, err
			}
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
		if !(p > 0 && slope < 0) {
			return c, nil // a tail far below the lattice's error: the start is its bound
		}
		step := -math.Log(p/goal) * p / slope
		c *= math.Exp(step)
		if math.Abs(step) < 1e-12 {
			break
		}
	}
	return c, nil
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
