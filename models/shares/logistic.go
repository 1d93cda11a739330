package shares

import (
	"context"
	"math"

	"gonum.org/v1/gonum/floats"

	"breakbook/models/design"
	"breakbook/models/parallel"
)

// trials are specimens alike in every column: how many there are and how many show the mode.
type trials struct{ hits, all []float64 }

// supremum is the largest ln L of log odds in the span of the columns, the first of them
// the baseline, or what it comes up to where levels separate and the odds run away: Newton's
// steps by weighted least squares (McCullagh & Nelder 1989, section 2.5), halved while they
// go down. Where the mode separates each step comes nearer by a factor of e; it ends once
// a step gains less than one part in 10¹², or no step has that to gain.
func (d trials) supremum(ctx context.Context, columns [][]float64) float64 {
	c := newClimb(d, columns)
	start := math.Log((floats.Sum(d.hits) + 0.5) / (floats.Sum(d.all) - floats.Sum(d.hits) + 0.5))
	for i := range c.next {
		c.next[i] = start
	}
	best := c.likelihood(ctx)
	c.take()
	for range 200 {
		parallel.Look(ctx)
		switch gain, ok := c.quickStep(ctx); {
		case !ok:
			copy(c.step, d.step(ctx, columns, c.odds))
		case gain < 1e-13*(1+math.Abs(best)):
			return best
		}
		gain := 0.0
		for half := 1.0; half > 1e-9; half /= 2 {
			for i := range c.next {
				c.next[i] = c.odds[i] + half*c.step[i]
			}
			if l := c.likelihood(ctx); l > best {
				gain, best = l-best, l
				c.take()
				break
			}
		}
		if !(gain > 1e-12*(1+math.Abs(best))) {
			break
		}
	}
	return best
}

// climb is what the way up to a supremum needs again at every step.
type climb struct {
	trials
	columns          int
	rows             []float64 // the columns, specimen by specimen
	odds, next, step []float64
	rare, rareNext   []float64 // e^−|odds| of both
	information      []float64 // the lower triangle of the weighted products of the columns, row by row
	score, beta      []float64
}

func newClimb(d trials, columns [][]float64) *climb {
	n, k := len(d.all), len(columns)
	room := make([]float64, n*(k+5)+k*(k+2))
	cut := func(size int) []float64 {
		out := room[:size:size]
		room = room[size:]
		return out
	}
	c := &climb{trials: d, columns: k, rows: cut(n * k), odds: cut(n), next: cut(n), step: cut(n), rare: cut(n),
		rareNext:    cut(n),
		information: cut(k * k), score: cut(k), beta: cut(k)}
	for j, column := range columns {
		for i, x := range column {
			c.rows[i*k+j] = x
		}
	}
	return c
}

// take goes on to the log odds that come next.
func (c *climb) take() {
	c.odds, c.next, c.rare, c.rareNext = c.next, c.odds, c.rareNext, c.rare
}

// severalFactors is a product of so many factors between 1 and 2 that one more logarithm is due: it stays far from
// where numbers end.
const severalFactors = 1e200

// likelihood is ln L of the log odds that come next.
func (c *climb) likelihood(ctx context.Context) float64 {
	sum, factors := 0.0, 1.0
	for i, n := range c.all {
		parallel.LookAt(ctx, i)
		if n == 0 {
			continue
		}
		// ln p = −ln(1 + e^−odds), from the side where nothing overflows.
		x := c.next[i]
		e := math.Exp(-math.Abs(x))
		if c.rareNext[i] = e; x > 0 {
			sum -= (n - c.hits[i]) * x
		} else {
			sum += c.hits[i] * x
		}
		for ; n >= 1; n-- {
			if factors *= 1 + e; factors > severalFactors {
				sum -= math.Log(factors)
				factors = 1
			}
		}
		if n > 0 {
			sum -= n * math.Log1p(e)
		}
	}
	return sum - math.Log(factors)
}

// quickStep is Newton's step by the products of the columns, and what ln L gains by it where it bends evenly; false
// where what is left of a column, the others taken off, is too short for them to tell from rounding: the directions of
// the columns can.
func (c *climb) quickStep(ctx context.Context) (gain float64, ok bool) {
	k := c.columns
	clear(c.information)
	clear(c.score)
	for i, n := range c.all {
		if n == 0 {
			continue
		}
		parallel.LookAt(ctx, i)
		p := 1 / (1 + c.rare[i]) // of the likelier of the two
		q := c.rare[i] * p
		w := n * p * q
		if c.odds[i] < 0 {
			p, q = q, p
		}
		r := c.hits[i]*q - (n-c.hits[i])*p
		row := c.rows[i*k : i*k+k]
		for a, x := range row {
			if x == 0 {
				continue
			}
			c.score[a] += r * x
			wx, to := w*x, c.information[a*k:]
			for b, y := range row[:a+1] {
				to[b] += wx * y
			}
		}
	}
	if !c.solve() {
		return 0, false
	}
	for i := range c.step {
		parallel.LookAt(ctx, i)
		c.step[i] = floats.Dot(c.rows[i*k:i*k+k], c.beta)
	}
	return floats.Dot(c.score, c.beta) / 2, true
}

// leastPivot is the part of a column's squares below which what the others leave of it is not told by their products.
const leastPivot = 1e-7

// solve puts into beta what the information takes to the score, by Cholesky's triangle; a column of zeros has 0.
func (c *climb) solve() bool {
	k, l := c.columns, c.information
	for a := range k {
		own := l[a*k+a]
		for b := range a + 1 {
			sum := l[a*k+b]
			for j := range b {
				sum -= l[a*k+j] * l[b*k+j]
			}
			switch {
			case b < a && l[b*k+b] == 0:
				l[a*k+b] = 0
			case b < a:
				l[a*k+b] = sum / l[b*k+b]
			case own == 0:
				l[a*k+a] = 0
			case !(sum > leastPivot*own):
				return false
			default:
				l[a*k+a] = math.Sqrt(sum)
			}
		}
		at := c.score[a]
		for j := range a {
			at -= l[a*k+j] * c.beta[j]
		}
		if c.beta[a] = 0; l[a*k+a] > 0 {
			c.beta[a] = at / l[a*k+a]
		}
	}
	for a := k - 1; a >= 0; a-- {
		if l[a*k+a] == 0 {
			continue
		}
		at := c.beta[a]
		for j := a + 1; j < k; j++ {
			at -= l[j*k+a] * c.beta[j]
		}
		c.beta[a] = at / l[a*k+a]
	}
	return true
}

// step is Newton's step for the log odds.
func (d trials) step(ctx context.Context, columns [][]float64, odds []float64) []float64 {
	root, residuals := make([]float64, len(odds)), make([]float64, len(odds))
	for i, n := range d.all {
		if n == 0 {
			continue
		}
		parallel.LookAt(ctx, i)
		p := 1 / (1 + math.Exp(-odds[i]))
		q := 1 / (1 + math.Exp(odds[i]))
		root[i] = math.Sqrt(n * p * q)
		if root[i] > 0 {
			residuals[i] = (d.hits[i]*q - (n-d.hits[i])*p) / root[i]
		}
	}
	var s design.Span
	for _, c := range columns {
		scaled := make([]float64, len(c))
		for i, x := range c {
			parallel.LookAt(ctx, i)
			scaled[i] = root[i] * x
		}
		s.Add(ctx, scaled)
	}
	step := make([]float64, len(odds))
	for _, u := range s.Directions {
		parallel.Look(ctx)
		along := floats.Dot(u, residuals)
		for i, x := range u {
			if root[i] > 0 {
				step[i] += along * x / root[i]
			}
		}
	}
	return step
}
