package limits

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"breakbook/models/verdict"
)

// moved is values with something added, each times by.
func moved(values []float64, by, add float64) []float64 {
	out := slices.Clone(values)
	for i := range out {
		out[i] = by*out[i] + add
	}
	return out
}

// drawnEnds are the ends that leave half of a share of draws out on either side.
func drawnEnds(draws []float64, out float64) (low, high float64) {
	slices.Sort(draws)
	n := float64(len(draws))
	return draws[int(out/2*n)], draws[int((1-out/2)*n)]
}

func chi(draw *rand.Rand, df int) float64 {
	sum := 0.0
	for range df {
		x := draw.NormFloat64()
		sum += x * x
	}
	return sum
}

// Differences against other draws of the same pivots, written out: of levels that count by themselves
// ȳ − s√(df/U)(Z/√n + z) (Krishnamoorthy and Mathew 2009, 2.2), of levels on the same five boards of five
// ȳ − Z√(SSB/(25U)) − z√(SSB/(5U) + (4/5)SSE/V), U the squares of four and Z one of five normal values of which
// the levels have what the boards shift in common, the part 5r/(1 + 5r) of their variance with r the ratio of the
// variances. The distance from the mean is then that of the sd used. Three pairs share the error.
func TestDifferencesAgainstDraws(t *testing.T) {
	const z, draws = 1.6448536269514722, 40_000
	draw := rand.New(rand.NewPCG(3, 3))
	o := Options{Exceeded: 0.95, Confidence: 0.75}
	for _, c := range []struct {
		method Method
		shared bool
	}{{Normal, false}, {Lognormal, false}, {Normal, true}} {
		o.Method = c.method
		var levels [][]float64
		for _, turn := range []int{0, 7, 2} {
			y := slices.Concat(strengths[turn:], strengths[:turn]) // the same loads in another order
			levels = append(levels, moved(y, 1+0.3*float64(len(levels)), float64(20*len(levels))))
		}
		if c.shared { // the same shifts of the boards
			levels[1], levels[2] = moved(strengths, 1.3, 20), moved(strengths, 1.6, 40)
		}
		var all []Limit
		drawn := make([][]float64, 3)
		for _, y := range levels {
			var codes []int
			if c.shared {
				codes = inFives(25)
			}
			l, err := Of(t.Context(), y, codes, o)
			if err != nil {
				t.Fatal(err)
			}
			l.None = Given
			all = append(all, l)
		}
		ss := func(y []float64) (mean, between, within float64) {
			for i := range y {
				mean += y[i] / 25
			}
			for b := range 5 {
				own := 0.0
				for _, v := range y[5*b : 5*b+5] {
					own += v / 5
				}
				between += 5 * (own - mean) * (own - mean)
				for _, v := range y[5*b : 5*b+5] {
					within += (v - own) * (v - own)
				}
			}
			return mean, between, within
		}
		for range draws {
			var common [5]float64
			for i := range common {
				common[i] = draw.NormFloat64()
			}
			for k, y := range levels {
				l := all[k]
				if !c.shared {
					root := l.SDUsed * math.Sqrt(24/chi(draw, 24))
					x := l.Mean - root*(draw.NormFloat64()/5+z)
					if c.method == Lognormal {
						x = math.Exp(x)
					}
					drawn[k] = append(drawn[k], x)
					continue
				}
				mean, ssb, sse := ss(y)
				ratio := (ssb/4 - sse/20) / 5 / (sse / 20)
				part := 5 * ratio / (1 + 5*ratio)
				normal := func(i int) float64 {
					return math.Sqrt(part)*common[i] + math.Sqrt(1-part)*draw.NormFloat64()
				}
				u, first := 0.0, normal(0)
				for i := range 4 {
					x := normal(1 + i)
					u += x * x
				}
				x := mean - first*math.Sqrt(ssb/(25*u)) - z*math.Sqrt(ssb/(5*u)+4*sse/5/chi(draw, 20))
				sd := math.Sqrt((ssb/4-sse/20)/5 + sse/20)
				drawn[k] = append(drawn[k], mean-(mean-x)*max(sd, LeastSpread*mean)/sd)
			}
		}
		got, err := Differences(t.Context(), all, o, Comparing{Confidence: 0.94, Worth: 60, Seed: 5, Draws: 40_000})
		if err != nil || len(got) != 3 {
			t.Fatal(got, err)
		}
		for _, d := range got {
			var both []float64
			for i := range drawn[0] {
				both = append(both, drawn[d.Second][i]-drawn[d.First][i])
			}
			low, high := drawnEnds(both, 0.02)
			low2, high2 := drawnEnds(both, 0.04)
			width := high - low
			if !(math.Abs(d.Low-low) <= 0.05*width) || !(math.Abs(d.High-high) <= 0.05*width) {
				t.Errorf("%+v: %d less %d from %.2f to %.2f, by other draws %.2f to %.2f", c, d.Second, d.First, d.Low,
					d.High, low, high)
			}
			estimate := func(l Limit) float64 { return o.load(l.Mean - z*l.SDUsed) }
			want := estimate(all[d.Second]) - estimate(all[d.First])
			if !(math.Abs(d.Value-want) <= 1e-9*math.Abs(want)) ||
				!(math.Abs(d.Clear-math.Abs(want)/((d.High-d.Low)/2)) <= 1e-12) {
				t.Errorf("%+v, want %g", d, want)
			}
			// A worth between what the interval and that of twice the error reach is one that no difference comes to.
			far, near := max(-low, high), max(-low2, high2)
			again, err := Differences(t.Context(), []Limit{all[d.First], all[d.Second]}, o,
				Comparing{Confidence: 0.98, Worth: (far + near) / 2, Seed: 6, Draws: 40_000})
			if less := d.Low > 0 || d.High < 0; err != nil || len(again) != 1 ||
				less != (again[0].Answer == verdict.DiffersLessThanWorth) ||
				!less && again[0].Answer != verdict.NoDifferenceWorth {
				t.Errorf("%+v: worth %g, between %g and %g: %+v (%v)", c, (far+near)/2, near, far, again, err)
			}
			if clear := 0.06 * width; math.Abs(low) > clear && math.Abs(high) > clear && math.Abs(low2+60) > clear &&
				math.Abs(high2-60) > clear {
				answer := verdict.Decide(verdict.Range{Low: low, High: high}, verdict.Range{Low: low2, High: high2}, 60)
				if d.Answer != answer {
					t.Errorf("%+v: %s, by other draws %s", c, d.Answer.Key(), answer.Key())
				}
			}
		}
	}
}

// Levels that share some blocks only, or blocks told by other numbers, are drawn apart.
func TestSharedBlocks(t *testing.T) {
	o := Options{Exceeded: 0.95, Confidence: 0.75}
	of := func(codes []int) Limit {
		l, err := Of(t.Context(), strengths, codes, o)
		if err != nil {
			t.Fatal(err)
		}
		return l
	}
	others := inFives(25)
	for i := 20; i < 25; i++ {
		others[i] = 9
	}
	same, other, none := of(inFives(25)), of(others), of(nil)
	for _, c := range []struct {
		a, b Limit
		want bool
	}{{same, same, true}, {same, other, false}, {same, none, false}, {none, none, false}} {
		if got := c.a.shares(c.b); got != c.want {
			t.Errorf("blocks %v and %v: %t", c.a.met, c.b.met, got)
		}
	}
	if low, high := ends([]float64{1, 2, 3, 4, 5}, 2); low != 3 || high != 3 {
		t.Errorf("nothing left: %g and %g", low, high)
	}
	if low, high := ends([]float64{1, 2, 3, 4, 5}, 0.4); low != 2 || high != 4 {
		t.Errorf("a fifth out on either side: %g and %g", low, high)
	}
}

// unevenBlocks are specimens in blocks of 1, 2, 3 and 6, with another number of each.
func unevenBlocks() (y, x []float64, codes []int) {
	y = []float64{412, 380, 391, 437, 422, 431, 402, 398, 409, 411, 395, 405}
	x = []float64{3, 1, 4, 1, 5, 9, 2, 6, 5, 3, 5, 8}
	return y, x, []int{0, 1, 1, 2, 2, 2, 3, 3, 3, 3, 3, 3}
}

// At a ratio r of the variances a block of n weighs n/(1 + nr) in the mean, whose variance is one over their sum, and
// what is left is the squares within and those of the blocks' means with these weights (generalised least squares of
// the one-way model, written out). The curve gives the ratio back from what the blocks have beyond the squares within.
func TestCurveOfUnevenBlocks(t *testing.T) {
	y, _, codes := unevenBlocks()
	m := ofMean(t.Context(), y, mean(y), codes, 4)
	n, means := make([]float64, 4), make([]float64, 4)
	for i, b := range codes {
		n[b]++
		means[b] += y[i]
	}
	within := 0.0
	for b := range means {
		means[b] /= n[b]
	}
	for i, b := range codes {
		within += (y[i] - means[b]) * (y[i] - means[b])
	}
	if got, rank := m.within(t.Context()); !(math.Abs(got-within) <= 1e-9) || rank != 0 {
		t.Errorf("%g within, want %g; %d columns vary there", got, within, rank)
	}
	c, err := newCurve(t.Context(), m)
	if err != nil {
		t.Fatal(err)
	}
	if even := 4 / (1 + 1./2 + 1./3 + 1./6); c.dfWithin != 8 || c.dfUp != 3 || !(math.Abs(c.even-even) <= 1e-14) {
		t.Errorf("%g and %g degrees of freedom, an even size of %g", c.dfWithin, c.dfUp, c.even)
	}
	for _, ratio := range []float64{0, 0.03, 0.2, 0.7, 2, 9, 60, 3000} {
		weights, centre, squares := 0.0, 0.0, 0.0
		for b := range n {
			w := n[b] / (1 + n[b]*ratio)
			weights, centre = weights+w, centre+w*means[b]
		}
		centre /= weights
		for b := range n {
			squares += n[b] / (1 + n[b]*ratio) * (means[b] - centre) * (means[b] - centre)
		}
		expected, variance, rss, ok := m.atRatio(t.Context(), ratio)
		if !ok || !(math.Abs(expected-centre) <= 1e-9) || !(math.Abs(variance*weights-1) <=
			1e-13*(1+ratio)) || // where blocks differ much, one less nearly one
			!(math.Abs(rss-within-squares) <= 1e-8) {
			t.Errorf("ratio %g: %g, %g and %g, want %g, %g and %g", ratio, expected, variance, rss, centre, 1/weights,
				within+squares)
		}
		if ratio == 0 {
			continue
		}
		back, expected, variance := c.at(squares) // between 97 places of the ratio
		off := math.Log1p(c.even*back) - math.Log1p(c.even*ratio)
		if !(math.Abs(off) <= 1e-3) || !(math.Abs(expected-centre) <= 0.02) ||
			!(math.Abs(variance*weights-1) <= 3e-3) {
			t.Errorf("ratio %g came back as %g, with %g and %g, want %g and %g", ratio, back, expected, variance,
				centre, 1/weights)
		}
	}
}

// With a slope the squares within are those that one slope within blocks leaves, and at a ratio what is expected
// solves the two normal equations with each block's sums taken off by r/(1 + nr).
func TestCurveWithASlope(t *testing.T) {
	y, x, codes := unevenBlocks()
	n := float64(len(y))
	mx, my, sxx, sxy := mean(x), mean(y), 0.0, 0.0
	for i := range x {
		sxx, sxy = sxx+(x[i]-mx)*(x[i]-mx), sxy+(x[i]-mx)*(y[i]-my)
	}
	slope := sxy / sxx
	const at = 7.0 // where the joint stands
	m := &nest{size: make([]float64, 4), residuals: make([]float64, 4), rows: make([][]float64, 4), n: 12, rank: 2,
		at: my + slope*(at-mx), t: []float64{1 / math.Sqrt(n), (at - mx) / math.Sqrt(sxx)}}
	for b := range m.rows {
		m.rows[b] = make([]float64, 2)
	}
	for i, b := range codes {
		e := y[i] - my - slope*(x[i]-mx)
		m.size[b]++
		m.residuals[b] += e
		m.rows[b][0] += 1 / math.Sqrt(n)
		m.rows[b][1] += (x[i] - mx) / math.Sqrt(sxx)
		m.rss += e * e
	}
	sums := func(r func(n float64) float64) (one, ax, axx, ay, axy, ayy float64) { // of V⁻¹, with a block's part off
		for b := range 4 {
			var s, sx, sy float64
			for i := range y {
				if codes[i] == b {
					s, sx, sy = s+1, sx+x[i], sy+y[i]
					one, ax, axx = one+1, ax+x[i], axx+x[i]*x[i]
					ay, axy, ayy = ay+y[i], axy+x[i]*y[i], ayy+y[i]*y[i]
				}
			}
			by := r(s)
			one, ax, axx = one-by*s*s, ax-by*s*sx, axx-by*sx*sx
			ay, axy, ayy = ay-by*s*sy, axy-by*sx*sy, ayy-by*sy*sy
		}
		return one, ax, axx, ay, axy, ayy
	}
	_, _, wxx, _, wxy, wyy := sums(func(n float64) float64 { return 1 / n })
	if got, rank := m.within(t.Context()); !(math.Abs(got-(wyy-wxy*wxy/wxx)) <= 1e-8) || rank != 1 {
		t.Errorf("%g within, want %g; %d columns vary there", got, wyy-wxy*wxy/wxx, rank)
	}
	for _, ratio := range []float64{0, 0.3, 4} {
		one, ax, axx, ay, axy, ayy := sums(func(n float64) float64 { return ratio / (1 + n*ratio) })
		det := one*axx - ax*ax
		a, b := (axx*ay-ax*axy)/det, (one*axy-ax*ay)/det
		variance, residualSS := (axx-2*at*ax+at*at*one)/det, ayy-a*ay-b*axy
		expected, reach, rss, ok := m.atRatio(t.Context(), ratio)
		if !ok || !(math.Abs(expected-a-b*at) <= 1e-8) || !(math.Abs(reach/variance-1) <= 1e-10) ||
			!(math.Abs(rss-residualSS) <= 1e-6) {
			t.Errorf("ratio %g: %g, %g and %g, want %g, %g and %g", ratio, expected, reach, rss, a+b*at, variance,
				residualSS)
		}
	}
}

// The limit from above is the same quantile's at the other end of the confidence: by k at what is left of it, and by
// ranks the lowest load that so many lie below too seldom.
func TestLimitFromAbove(t *testing.T) {
	o := Options{Exceeded: 0.95, Confidence: 0.75}
	five := []float64{380, 420, 400, 440, 360}
	l, err := Of(t.Context(), five, nil, o)
	// nct.ppf(0.25, 4, 1.6448536·√5)/√5 by scipy 1.10.1.
	if want := 400 - 1.3053897941468957*math.Sqrt(1000); err != nil || !(math.Abs(l.Upper-want) <= 1e-6) {
		t.Errorf("%.9g, want %.9g (%v)", l.Upper, want, err)
	}
	below := func(n, r int) float64 { // the chance of at least r of n below the quantile
		sum := 0.0
		for k := r; k <= n; k++ {
			binomial := 1.0
			for i := 1; i <= k; i++ {
				binomial *= float64(n-k+i) / float64(i)
			}
			sum += binomial * math.Pow(0.05, float64(k)) * math.Pow(0.95, float64(n-k))
		}
		return sum
	}
	o.Method = Ranked
	for _, n := range []int{28, 40, 60, 93} {
		v := make([]float64, n)
		for i := range v {
			v[i] = float64(n - i) // a load is its rank
		}
		l, err := Of(t.Context(), v, nil, o)
		if r := int(l.Upper); err != nil || !(below(n, r) <= 0.25 && below(n, r-1) > 0.25) ||
			!(below(n, l.Rank) >= 0.75 && below(n, l.Rank+1) < 0.75) {
			t.Errorf("%d specimens: %+v (%v)", n, l, err)
		}
	}
}
