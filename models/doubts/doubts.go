// Package doubts holds the checks that question an answer, as numbers: in come values, levels
// and blocks of specimens, out come probabilities, counts and suspicions. It words nothing and
// knows no series; the remedies are other fits, which whoever asks makes.
package doubts

import (
	"cmp"
	"maps"
	"math"
	"slices"

	"breakbook/models/dist"
	"breakbook/models/lists"

	"gonum.org/v1/gonum/stat"
)

// Clear is the probability under which a check speaks, after Holm's correction over what it
// tried. It is a definition of this program.
const Clear = 0.01

// Holm adjusts probabilities for having been looked at together (Holm 1979, Scandinavian
// Journal of Statistics 6), in the order given; NaN is passed over and stays NaN.
func Holm(p []float64) []float64 {
	out := slices.Clone(p)
	var order []int
	for i, x := range p {
		if !math.IsNaN(x) {
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(p[a], p[b]) })
	most := 0.0
	for rank, i := range order {
		most = max(most, p[i]*float64(len(order)-rank))
		out[i] = min(most, 1)
	}
	return out
}

// Spreads tests whether the levels' spreads are further apart than specimens of one spread
// give: the largest F ratio of two variances over all pairs, each on its two sides, by
// Bonferroni's inequality. sd and df are of each level; a level without degrees of freedom is
// passed over. It takes residuals to be near normal. NaN where fewer than two levels tell.
func Spreads(sd, df []float64) (p float64) {
	least, pairs := math.NaN(), 0.0
	for i := range sd {
		for j := range i {
			if !(df[i] > 0 && df[j] > 0) {
				continue
			}
			pairs++
			a, b := i, j
			if sd[a] < sd[b] {
				a, b = b, a
			}
			if sd[a] == 0 {
				continue
			}
			ratio := math.Inf(1)
			if sd[b] > 0 {
				ratio = sd[a] * sd[a] / (sd[b] * sd[b])
			}
			if two := 2 * dist.FTail(ratio, df[a], df[b]); !(least <= two) {
				least = two
			}
		}
	}
	return min(least*pairs, 1)
}

// Ties is how many values stand at exactly the largest, and the probability of as many in
// a series whose values thin out towards its top: the gauge's steps within two sd under the
// largest value hold no fewer specimens each than its own, so that the count there is at most
// binomial with one chance in the number of steps. The step is the smallest distance between
// two values. p is 1 for a single value at the top.
func Ties(values []float64, sd float64) (ties int, p float64) {
	if len(values) == 0 {
		return 0, 1
	}
	sorted := slices.Clone(values)
	slices.Sort(sorted)
	top := sorted[len(sorted)-1]
	step, within := math.Inf(1), 0
	for i, x := range sorted {
		if x == top {
			ties++
		}
		if x >= top-2*sd {
			within++
		}
		if i > 0 && x > sorted[i-1] {
			step = min(step, x-sorted[i-1])
		}
	}
	steps := math.Floor(2*sd/step) + 1
	if ties < 2 || !(sd > 0) || math.IsInf(step, 1) {
		return ties, 1
	}
	return ties, binomialTail(ties, within, 1/steps)
}

// Many reports whether so many of n values are enough to be told as lower bounds: three at least, and a tenth.
func Many(bounds, n int) bool { return bounds >= 3 && 10*bounds >= n }

// PileUp reports whether so many of n values at exactly the largest look like a ceiling: many, which chance would bring
// about less than once in a thousand series.
func PileUp(ties, n int, p float64) bool { return Many(ties, n) && p < 0.001 }

// binomialTail is the chance of at least k of n.
func binomialTail(k, n int, p float64) float64 {
	if p >= 1 {
		return 1
	}
	sum := 0.0
	for i := k; i <= n; i++ {
		a, _ := math.Lgamma(float64(n + 1))
		b, _ := math.Lgamma(float64(i + 1))
		c, _ := math.Lgamma(float64(n - i + 1))
		sum += math.Exp(a - b - c + float64(i)*math.Log(p) + float64(n-i)*math.Log1p(-p))
	}
	return min(sum, 1)
}

// The ratios a slip of the pen or of the unit makes: kgf for N, lbf for N, lb for kg, and
// digits more or fewer.
var slips = []float64{9.80665, 4.4482216, 2.2046226, 10, 100, 1000}

// Slip is what an odd value looks like against what was expected of it.
type Slip struct {
	Ratio   float64
	Inverse bool // the value is that part of what was expected, not that multiple
}

// Slips are the slips that put value within three standard errors of prediction, and within a quarter, of what
// was expected, the nearest first; none where either is not of the other's sign.
func Slips(value, expected, error float64) []Slip {
	if !(value*expected > 0) || !(error > 0) {
		return nil
	}
	var out []Slip
	off := map[Slip]float64{}
	for _, ratio := range slips {
		for _, inverse := range []bool{false, true} {
			meant := value / ratio
			if inverse {
				meant = value * ratio
			}
			s := Slip{ratio, inverse}
			off[s] = math.Abs(meant-expected) / error
			if off[s] <= 3 && math.Abs(meant-expected) <= math.Abs(expected)/4 {
				out = append(out, s)
			}
		}
	}
	slices.SortStableFunc(out, func(a, b Slip) int { return cmp.Compare(off[a], off[b]) })
	return out
}

// Corrected is an association of two variables less what chance makes of so many levels: of
// two categories Cramér's V by Bergsma (2013, Journal of the Korean Statistical Society 42,
// equations 3 to 5), of a number and a category the root of the adjusted share explained, of
// two numbers the size of their correlation. levels are 0 for a number; n is specimens.
func Corrected(strength float64, levelsA, levelsB, n int) float64 {
	switch {
	case math.IsNaN(strength) || n < 3:
		return 0
	case levelsA == 0 && levelsB == 0:
		return strength
	case levelsA == 0 || levelsB == 0:
		k := float64(max(levelsA, levelsB))
		if float64(n) <= k {
			return 0
		}
		return math.Sqrt(max(0, 1-(1-strength*strength)*float64(n-1)/(float64(n)-k)))
	}
	r, c, m := float64(levelsA), float64(levelsB), float64(n-1)
	phi := strength*strength*(min(r, c)-1) - (r-1)*(c-1)/m
	r, c = r-(r-1)*(r-1)/m, c-(c-1)*(c-1)/m
	if least := min(r, c) - 1; phi > 0 && least > 0 {
		return math.Sqrt(min(phi/least, 1))
	}
	return 0
}

// ByChance is the probability of an association of at least this strength (as package together gives it,
// uncorrected) between variables that have nothing to do with each other: by the F test of a regression,
// or of levels (Fisher 1925, Statistical Methods for Research Workers, sections 34 and 40), of two
// categories by chi-square with n − 1 for n (E. S. Pearson 1947, Biometrika 34; Campbell 2007, Statistics
// in Medicine 26, for small tables). levels are 0 for a number. NaN where there is no degree of freedom.
func ByChance(strength float64, levelsA, levelsB, n int) float64 {
	if levelsA > 0 && levelsB > 0 {
		df := float64((levelsA - 1) * (levelsB - 1))
		if !(df > 0) {
			return math.NaN()
		}
		return dist.ChiSquareTail(float64(n-1)*float64(min(levelsA, levelsB)-1)*strength*strength, df)
	}
	d1 := float64(max(levelsA, levelsB, 2) - 1)
	d2 := float64(n) - 1 - d1
	if math.IsNaN(strength) || !(d1 > 0 && d2 > 0) {
		return math.NaN()
	}
	if strength >= 1 {
		return 0
	}
	return dist.FTail(strength*strength/d1/((1-strength*strength)/d2), d1, d2)
}

// OneBlock is the pairs of levels, the first of which rests on a single block that the second has no specimen of, so
// that a difference between them may be that block's alone. A single specimen, which has but one block, rests on it
// where the other level rests on one too.
func OneBlock(level, block []int) (pairs [][2]int) {
	blocks, specimens := map[int]map[int]bool{}, map[int]int{}
	for i, l := range level {
		if blocks[l] == nil {
			blocks[l] = map[int]bool{}
		}
		blocks[l][block[i]] = true
		specimens[l]++
	}
	all := slices.Sorted(maps.Keys(blocks))
	for _, a := range all {
		for _, b := range all {
			rests := len(blocks[a]) == 1 && (specimens[a] > 1 || len(blocks[b]) == 1)
			for own := range blocks[a] {
				if rests && !blocks[b][own] {
					pairs = append(pairs, [2]int{a, b})
				}
			}
		}
	}
	return pairs
}

// BetweenBlocks is the probability that levels would lie as far apart as they do, were there only
// their blocks, where every block has one level: one-way analysis of variance over the plain means of
// the blocks, with spent degrees of freedom fewer for what else lies between them. It is exact where
// blocks are of one size, whatever their variance (Cochran and Cox 1957, Experimental Designs, 2nd
// edition, chapter 7: whole plots). ok is false where a block has several levels, where there is one
// level, or where no degree of freedom is left.
func BetweenBlocks(y []float64, level, block []int, spent int) (p float64, ok bool) {
	type mean struct {
		sum, n float64
		level  int
	}
	means := map[int]*mean{}
	var order []int
	for i, b := range block {
		m := means[b]
		if m == nil {
			m = &mean{level: level[i]}
			means[b] = m
			order = append(order, b)
		}
		if m.level != level[i] {
			return math.NaN(), false
		}
		m.sum, m.n = m.sum+y[i], m.n+1
	}
	of := map[int][]float64{}
	var all []float64
	for _, b := range order {
		m := means[b]
		of[m.level] = append(of[m.level], m.sum/m.n)
		all = append(all, m.sum/m.n)
	}
	between, within := float64(len(of)-1), float64(len(all)-len(of)-spent)
	if between < 1 || within < 1 {
		return math.NaN(), false
	}
	residualSS := 0.0
	for _, l := range slices.Sorted(maps.Keys(of)) {
		residualSS += squares(of[l])
	}
	return dist.FTail((squares(all)-residualSS)/between/(residualSS/within), between, within), true
}

// squares is the sum of squares about the mean.
func squares(x []float64) float64 {
	return float64(len(x)) * stat.PopVariance(x, nil)
}

// Stretches gives each specimen the level it would have if the levels filled the order one after the
// other, each as many places as it has specimens, in the order of their mean places. Ties in order
// stand as they come.
func Stretches(level []int, order []float64) []int {
	at := lists.Indices(len(level))
	slices.SortStableFunc(at, func(a, b int) int { return cmp.Compare(order[a], order[b]) })
	count, place := map[int]int{}, map[int]float64{}
	for p, i := range at {
		count[level[i]]++
		place[level[i]] += float64(p)
	}
	var levels []int
	for l := range count {
		levels = append(levels, l)
	}
	slices.Sort(levels)
	slices.SortStableFunc(levels, func(a, b int) int {
		return cmp.Compare(place[a]/float64(count[a]), place[b]/float64(count[b]))
	})
	out, p := make([]int, len(level)), 0
	for _, l := range levels {
		for range count[l] {
			out[at[p]] = l
			p++
		}
	}
	return out
}
