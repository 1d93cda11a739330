// Package theory has how often a test of a given size is clear where an invented fault is planted,
// from the distributions of the tests and not from the program's answers: what `measure doubts`
// prints beside what it counts. Every chance is a fraction.
package theory

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"breakbook/models/dist"
)

// slices of the distribution of a sum of squares that a chance is averaged over.
const slicesOfChance = 4000

// averaged is the mean of a chance over chi-squared sums of squares, by their quantiles.
func averaged(df float64, chance func(sum float64) float64) float64 {
	d, mean := distuv.ChiSquared{K: df}, 0.0
	for i := range slicesOfChance {
		mean += chance(d.Quantile((float64(i)+0.5)/slicesOfChance)) / slicesOfChance
	}
	return mean
}

// shows is the chance that a two-sided t test at alpha is clear: the noncentral t distribution
// (Johnson, Kotz and Balakrishnan 1995, Continuous Univariate Distributions 2, chapter 31).
func shows(alpha, df, noncentrality float64) float64 {
	return dist.PassingChance(dist.TQuantile(1-alpha/2, df), df, noncentrality)
}

// LeftOut is for a normal property of sd spread within two levels, its slope tested in a fit of n
// specimens beside the levels: given the property its t is noncentral, and its sum of squares
// within the levels is chi-squared with n − 2 degrees of freedom (Gatsonis and Sampson 1989,
// Psychological Bulletin 106, for one property beside fixed ones).
func LeftOut(n int, slope, spread, scatter, alpha float64) float64 {
	return averaged(float64(n-2), func(sum float64) float64 {
		return shows(alpha, float64(n-3), slope*spread*math.Sqrt(sum)/scatter)
	})
}

// Combination is for the difference of two differences in a table of two by two levels of n/4
// specimens each: its variance is 16 scatter²/n, on n − 4 degrees of freedom.
func Combination(n int, size, scatter, alpha float64) float64 {
	return shows(alpha, float64(n-4), size/(4*scatter/math.Sqrt(float64(n))))
}

// Bend is for the square of a number x in a fit of x and its square: the part of `of` that no
// straight line in x reaches is its noncentrality, on n − 3 degrees of freedom. `of` is to be a
// square of x and a line, the expected values.
func Bend(x, of []float64, scatter, alpha float64) float64 {
	return shows(alpha, float64(len(x)-3), math.Sqrt(beyondLine(x, of))/scatter)
}

// beyondLine is the sum of squares of y about its least squares line in x.
func beyondLine(x, y []float64) float64 {
	n := float64(len(x))
	var mx, my, xx, xy, yy float64
	for i := range x {
		mx, my = mx+x[i]/n, my+y[i]/n
	}
	for i := range x {
		xx += (x[i] - mx) * (x[i] - mx)
		xy += (x[i] - mx) * (y[i] - my)
		yy += (y[i] - my) * (y[i] - my)
	}
	return math.Max(0, yy-xy*xy/xx)
}

// Odd is for one of n specimens that lies off by size, in one of two equal levels, by its deleted
// residual and Bonferroni's inequality over all n: given how far it is off, that residual is
// noncentral t with n − 3 degrees of freedom (Cook and Weisberg 1982, Residuals and Influence in
// Regression, section 2.2.2).
func Odd(n int, size, scatter, alpha float64) float64 {
	leverage := 2 / float64(n)
	return shows(alpha/float64(n), float64(n-3), size*math.Sqrt(1-leverage)/scatter)
}

// Spreads is for the ratio of two variances, two-sided at alpha, where the true sds are as ratio,
// the one with df above: their quotient over ratio² is F.
func Spreads(ratio, df, other, alpha float64) float64 {
	above := dist.FTail(dist.FPoint(alpha/2, df, other)/(ratio*ratio), df, other)
	below := dist.FTail(dist.FPoint(alpha/2, other, df)*ratio*ratio, other, df)
	return above + below
}

// Ceiling is the chance that at least `least` of n specimens, half of either level, reach the
// machine's end, which one of a level does with the chance a or b: two binomial counts added.
func Ceiling(n, least int, a, b float64) float64 {
	first, second := distuv.Binomial{N: float64(n - n/2), P: a}, distuv.Binomial{N: float64(n / 2), P: b}
	under := 0.0
	for i := range least {
		for j := range least - i {
			under += first.Prob(float64(i)) * second.Prob(float64(j))
		}
	}
	return 1 - under
}

// Several is for k effects, all zero, on df degrees of freedom: the chance that one of them has
// p < level and Holm's correction does not bear it out. The effects are taken as unrelated; given
// the residual spread that they share their tests are then independent.
func Several(k int, df, level float64) float64 {
	critical := make([]float64, k+1) // by how many are left in Holm's order
	for remaining := 1; remaining <= k; remaining++ {
		critical[remaining] = dist.TQuantile(1-level/2/float64(remaining), df)
	}
	return averaged(df, func(sum float64) float64 {
		p := make([]float64, k+1) // the chance of an effect beyond each bound
		for remaining := 1; remaining <= k; remaining++ {
			p[remaining] = 2 * dist.NormalTail(critical[remaining]*math.Sqrt(sum/df))
		}
		return 1 - borneOut(k, p)
	})
}

// borneOut is the chance that as many of k independent effects pass p[1] as Holm's correction bears
// out: the largest passes p[k], the next p[k−1], and so on, as many as there are.
func borneOut(k int, p []float64) float64 {
	all := 0.0
	for m := range k + 1 {
		// m effects pass p[1], in Holm's order each its own bound: by how many pass each bound in turn.
		weights := map[int]float64{0: 1} // by how many pass the bounds so far
		before := 0.0
		for step := 1; step <= m; step++ {
			now := p[k-step+1]
			next := map[int]float64{}
			for had, w := range weights {
				for more := 0; had+more <= m; more++ {
					if had+more >= step { // the step-th largest passes its bound
						next[had+more] += w * math.Pow(now-before, float64(more)) / factorial(more)
					}
				}
			}
			weights, before = next, now
		}
		chance := 0.0
		for had, w := range weights { // the rest pass p[1] only
			chance += w * math.Pow(p[1]-before, float64(m-had)) / factorial(m-had)
		}
		all += chance * math.Pow(1-p[1], float64(k-m)) * factorial(k) / factorial(k-m)
	}
	return all
}

func factorial(n int) float64 { return math.Gamma(float64(n + 1)) }
