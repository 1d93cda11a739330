package plan

import (
	"context"
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/mat"

	"breakbook/models/dist"
	"breakbook/models/halving"
	"breakbook/models/lists"
	"breakbook/models/parallel"
	"breakbook/models/strength"
)

// Breaks plans for a difference Delta, on the ln scale, between two levels in the strength of one way of breaking,
// where other ways may end a test first: their loads are then lower bounds alone. Every level is made from specimens
// with the other columns that its specimens have here. The first level of a pair is as strong as fitted, the second is
// like it but stronger by Delta, and what ends tests otherwise is as strong in both as fitted for the first.
//
// The chance is that of a likelihood ratio whose noncentrality is Delta² over the variance by Fisher's expected
// information about all coefficients and ln spread, censored as expected (textbook; Lawless 2003, Statistical Models
// and Methods for Lifetime Data, 5 and 6; from memory). With more than two levels every pair stands at the error
// divided by the number of pairs, and the chance is that of the pair told least. Tried corrects it by drawn series: as
// if every level had Gain specimens more, as few of them make, and every specimen told More times itself more, where
// the levels are so far apart that they show by how they break.
type Breaks struct {
	Distribution strength.Distribution
	Level        []int // of every specimen, from 0 to Levels − 1
	Levels       int   // each with a specimen
	Others       [][]float64
	Place        []float64 // of every specimen: ln of its place in that way, its level's effect apart
	Effect       []float64 // of every level
	Spread       float64   // on the ln scale
	OtherPlace   []float64 // the same in what ends tests otherwise; nil: nothing does
	OtherEffect  []float64 // of every level
	OtherSpread  float64

	Delta, Confidence, Wanted float64
	Gain, More                float64
	TooFew                    int // a number of each level that drawn series showed to be too small; 0: none was
}

// mostMore is how many specimens of each level the correction for few of them may come to.
const mostMore = 3

func (b Breaks) check() error {
	switch {
	case b.Levels < 2:
		return &Error{"too-few-levels"}
	case !(b.Delta > 0) || math.IsInf(b.Delta, 0):
		return &Error{"no-difference"}
	case !(b.Spread > 0) || math.IsInf(b.Spread, 0):
		return &Error{"no-spread"}
	case !between(b.Wanted) || !between(b.Confidence):
		return &Error{"share"}
	}
	return nil
}

func (b Breaks) alpha() float64 { return (1 - b.Confidence) / float64(b.Levels*(b.Levels-1)/2) }

func (b Breaks) chance(each float64, n int) float64 {
	return likelihoodChance(b.alpha(), each*(1+b.More)*math.Max(0, float64(n)+b.Gain))
}

// At is what perLevel specimens of each level give; Detectable is as Delta is, of the same pair. Errors:
// "no-difference", "no-spread", "too-few-levels", "share", "too-few-specimens" and "confounded".
func (b Breaks) At(perLevel int) (Size, error) {
	if err := b.check(); err != nil {
		return Size{}, err
	}
	if perLevel < 2 {
		return Size{}, &Error{"too-few-specimens"}
	}
	rows := b.rows()
	each, pair, err := rows.noncentrality(b, b.Delta)
	if err != nil {
		return Size{}, err
	}
	own := rows.fitted(b)
	p := b.chance(each, perLevel)
	out := Size{PerLevel: perLevel, N: perLevel * b.Levels, Overall: math.NaN(), Pair: p, Chance: p,
		ChanceHighSpread: math.NaN()}
	if b.Levels == 2 {
		out.Overall = p
	}
	whole := min(b.Delta, 2*rows.rising(b, own, pair, b.Delta))
	_, out.Detectable = halving.Beyond(0, b.Delta, 8, 16, func(delta float64) bool {
		each, err := rows.ofPair(b, own, pair, delta)
		return err == nil && b.towards(delta/whole).chance(each, perLevel) >= b.Wanted
	})
	return out, nil
}

// towards is the plan with the correction for a part of the difference that it is whole at: what levels show by how
// they break, beyond the information about their strengths, goes with the third power of it up to there. Chosen by
// hand, and held by drawn series.
func (b Breaks) towards(part float64) Breaks {
	b.More *= min(1, part*part*part)
	return b
}

// Least is the smallest size whose Chance is the wanted one or more.
func (b Breaks) Least() (Size, error) {
	n, err := b.least()
	if err != nil {
		return Size{}, err
	}
	return b.At(n)
}

// least is the number of each level of Least.
func (b Breaks) least() (int, error) {
	if err := b.check(); err != nil {
		return 0, err
	}
	each, _, err := b.rows().noncentrality(b, b.Delta)
	if err != nil {
		return 0, err
	}
	n, ok := leastWhole(func(n int) bool { return b.chance(each, n) >= b.Wanted })
	if !ok {
		return 0, &Error{"out-of-reach"}
	}
	return max(n, b.TooFew+1), nil
}

// Seen is the share of specimens that are expected to break so, of the pair told least and the others together, and
// that pair: the level as strong as fitted, and the stronger one. Errors are those of At.
func (b Breaks) Seen() (share float64, first, second int, err error) {
	if err := b.check(); err != nil {
		return 0, 0, 0, err
	}
	rows := b.rows()
	_, pair, err := rows.noncentrality(b, b.Delta)
	if err != nil {
		return 0, 0, 0, err
	}
	place, other := rows.places(b, pair, b.Delta)
	for row, w := range rows.weight {
		share += w / float64(b.Levels) * rows.info(b, row, place, other).seen
	}
	return share, pair[0], pair[1], nil
}

// breakRows are the specimens that stand for all that are made.
type breakRows struct {
	madeRows
	place, other []float64
	table        informationTable
	ends         []float64 // even quantiles of what ends tests otherwise
}

func (b Breaks) rows() breakRows {
	r := breakRows{madeRows: madeOf(b.Level, b.Levels, b.Others, false), table: breakTable(b.Distribution)}
	for _, i := range r.specimen {
		r.place = append(r.place, b.Place[i])
		if b.OtherPlace != nil {
			r.other = append(r.other, b.OtherPlace[i])
		}
	}
	const quantiles = 100
	for q := range quantiles {
		r.ends = append(r.ends, b.Distribution.Standard((float64(q)+0.5)/quantiles))
	}
	return r
}

// places are the places of the rows, and those of what ends tests otherwise, where the pair's second level is like
// its first but stronger by delta.
func (r breakRows) places(b Breaks, pair [2]int, delta float64) (own, other []float64) {
	own = make([]float64, len(r.place))
	if r.other != nil {
		other = make([]float64, len(r.place))
	}
	for row, p := range r.place {
		like, more := r.level[row], 0.0
		if like == pair[1] {
			like, more = pair[0], delta
		}
		own[row] = p + b.Effect[like] + more
		if other != nil {
			other[row] = r.other[row] + b.OtherEffect[like]
		}
	}
	return own, other
}

// info is what one specimen is expected to tell.
func (r breakRows) info(b Breaks, row int, place, other []float64) information {
	if other == nil {
		return r.table.upTo(math.Inf(1), b.Distribution)
	}
	var sum information
	for _, q := range r.ends {
		one := r.table.upTo((other[row]+b.OtherSpread*q-place[row])/b.Spread, b.Distribution)
		sum.place += one.place
		sum.both += one.both
		sum.spread += one.spread
		sum.seen += one.seen
	}
	n := float64(len(r.ends))
	return information{sum.place / n, sum.both / n, sum.spread / n, sum.seen / n}
}

// noncentrality is that of the likelihood ratio for one specimen of each level, of the pair where it is smallest, and
// that pair.
func (r breakRows) noncentrality(b Breaks, delta float64) (least float64, pair [2]int, err error) {
	least = math.Inf(1)
	own := r.fitted(b)
	for i := range b.Levels {
		for j := range b.Levels {
			if i == j {
				continue
			}
			each, err := r.ofPair(b, own, [2]int{i, j}, delta)
			if err != nil {
				return 0, pair, err
			}
			if each < least {
				least, pair = each, [2]int{i, j}
			}
		}
	}
	return least, pair, nil
}

// fitted is what every row is expected to tell where all levels are as strong as fitted.
func (r breakRows) fitted(b Breaks) []information {
	place, ends := r.places(b, [2]int{0, -1}, 0)
	return lists.Made(len(place), func(row int) information { return r.info(b, row, place, ends) })
}

// ofPair is the noncentrality of one pair; own is what rows tell as fitted. With a large delta hardly a specimen of the
// stronger level breaks so any more, and the information about how strong it is goes (Hauck and Donner 1977, Journal
// of the American Statistical Association 72), though not what shows that it is stronger: the noncentrality is taken
// to fall no more.
func (r breakRows) ofPair(b Breaks, own []information, pair [2]int, delta float64) (float64, error) {
	return r.byInformation(b, own, pair, r.rising(b, own, pair, delta))
}

// rising is the part of delta up to which the information rises.
func (r breakRows) rising(b Breaks, own []information, pair [2]int, delta float64) float64 {
	falls := func(delta float64) bool {
		here, err := r.byInformation(b, own, pair, delta)
		before, _ := r.byInformation(b, own, pair, 0.98*delta)
		return err != nil || here < before
	}
	if !falls(delta) {
		return delta
	}
	peak, _ := halving.Between(0, delta, 7, falls)
	return peak
}

// byInformation is the noncentrality of one pair by the information where it is delta apart.
func (r breakRows) byInformation(b Breaks, own []information, pair [2]int, delta float64) (float64, error) {
	place, other := r.places(b, pair, delta)
	k := len(r.x[0])
	info := mat.NewSymDense(k+1, nil)
	for row, x := range r.x {
		one := own[row]
		if r.level[row] == pair[1] {
			one = r.info(b, row, place, other)
		}
		one.add(info, x, r.weight[row], b.Spread)
	}
	v, err := contrastVariance(info, pair[0], pair[1])
	return delta * delta / v, err
}

// contrastVariance is the variance of coefficient j less i by an information matrix, whatever the units of its columns.
// The error is "confounded".
func contrastVariance(info *mat.SymDense, i, j int) (float64, error) {
	k := info.SymmetricDim()
	alike := mat.NewSymDense(k, nil)
	for a := range k {
		for b := range a + 1 {
			alike.SetSym(a, b, info.At(a, b)/math.Sqrt(info.At(a, a)*info.At(b, b)))
		}
	}
	var root mat.Cholesky
	var v mat.SymDense
	if !root.Factorize(alike) || root.Cond() > 1e12 || root.InverseTo(&v) != nil {
		return math.NaN(), &Error{"confounded"}
	}
	vi, vj := info.At(i, i), info.At(j, j)
	return v.At(i, i)/vi + v.At(j, j)/vj - 2*v.At(i, j)/math.Sqrt(vi*vj), nil
}

// information is what a specimen tells about its place, in units of the spread, and about ln spread, and the chance
// that it breaks so.
type information struct{ place, both, spread, seen float64 }

// add adds a specimen's information to that about the coefficients and, last, ln spread.
func (o information) add(to *mat.SymDense, x []float64, weight, spread float64) {
	k := len(x)
	for a, va := range x {
		if va == 0 {
			continue
		}
		for c := a; c < k; c++ {
			to.SetSym(a, c, to.At(a, c)+weight*o.place/(spread*spread)*va*x[c])
		}
		to.SetSym(a, k, to.At(a, k)+weight*o.both/spread*va)
	}
	to.SetSym(k, k, to.At(k, k)+weight*o.spread)
}

// informationTable is the expected squares and product of the derivatives of the log likelihood by place and ln
// spread over breaks up to z, by the trapezium rule.
type informationTable struct {
	from, step float64
	upto       []information
}

// breakTable integrates over all that a distribution can be.
func breakTable(d strength.Distribution) informationTable {
	t := informationTable{from: -36, step: 0.01}
	to := 4.4
	if d == strength.Lognormal {
		t.from, to = -9, 9
	}
	var sum, last information
	for n := 0; ; n++ {
		z := t.from + t.step*float64(n)
		if z > to {
			return t
		}
		density, place, spread := score(d, z)
		now := information{density * place * place, density * place * spread, density * spread * spread, density}
		if n > 0 {
			half := t.step / 2
			sum.place += half * (now.place + last.place)
			sum.both += half * (now.both + last.both)
			sum.spread += half * (now.spread + last.spread)
			sum.seen += half * (now.seen + last.seen)
		}
		t.upto, last = append(t.upto, sum), now
	}
}

// score is the density of a distribution of spread 1 about 0, and the derivatives of the log likelihood of a break at
// z by its place and by ln spread.
func score(d strength.Distribution, z float64) (density, place, spread float64) {
	if d == strength.Lognormal {
		return math.Exp(-z*z/2) / math.Sqrt(2*math.Pi), z, z*z - 1
	}
	e := math.Exp(z)
	return math.Exp(z - e), e - 1, z*(e-1) - 1
}

// upTo is the information where everything beyond z is known only to lie there.
func (t informationTable) upTo(z float64, d strength.Distribution) information {
	at := (z - t.from) / t.step
	if n := len(t.upto); at >= float64(n-1) {
		return t.upto[n-1]
	}
	if at < 0 {
		return information{}
	}
	i := int(at)
	part := at - float64(i)
	between := func(a, b float64) float64 { return a + part*(b-a) }
	low, high := t.upto[i], t.upto[i+1]
	o := information{between(low.place, high.place), between(low.both, high.both), between(low.spread, high.spread),
		between(low.seen, high.seen)}
	place := math.Exp(2*z - math.Exp(z)) // what lies beyond times its hazard squared
	if d == strength.Lognormal {
		place = math.Exp(-z*z) / (2 * math.Pi) / dist.NormalTail(z)
	}
	o.place += place
	o.both += place * z
	o.spread += place * z * z
	return o
}

// Tried is the plan with what series of perLevel specimens of each level show, drawn from the truth that it is made
// for and judged as a fit of one way of breaking judges the pair told least. A series that cannot be fitted
// shows nothing. The same seed gives the same. Errors are those of At and ctx's own.
func (b Breaks) Tried(ctx context.Context, perLevel int, seed uint64) (Breaks, error) {
	return b.tried(ctx, perLevel, seed, MostTried)
}

func (b Breaks) tried(ctx context.Context, perLevel int, seed uint64, most int) (_ Breaks, err error) {
	defer parallel.Catch(&err)
	if err := b.check(); err != nil {
		return b, err
	}
	rows := b.rows()
	each, pair, err := rows.noncentrality(b, b.Delta)
	if err != nil {
		return b, err
	}
	place, ends := rows.places(b, pair, b.Delta)
	d := rows.drawn(b.Levels, pair, perLevel)
	n := perLevel * b.Levels
	series := seriesTried(most/2, n, len(rows.x[0]))
	share := shareShown(ctx, series, seed, func() func(draw *rand.Rand) bool {
		s := strength.Sample{Columns: d.columns(rows.madeRows), Load: make([]float64, n), Ended: make([]bool, n)}
		pick := make([]float64, len(s.Columns))
		pick[1] = 1
		return func(draw *rand.Rand) bool {
			d.each(rows.madeRows, draw, s.Columns, func(at, row int) {
				own, other := place[row]+b.Spread*b.Distribution.Standard(inner(draw)), math.Inf(1)
				if ends != nil {
					other = ends[row] + b.OtherSpread*b.Distribution.Standard(inner(draw))
				}
				s.Load[at], s.Ended[at] = math.Exp(min(own, other)), own <= other
			})
			f, err := strength.Solve(ctx, s, b.Distribution)
			if err != nil {
				return false
			}
			p, err := f.Chance(ctx, pick)
			return err == nil && p < b.alpha()
		}
	})
	gain := gainFor(b.alpha(), each, perLevel, share)
	b.Gain = min(gain, mostMore)
	b.More = (float64(perLevel)+gain)/(float64(perLevel)+b.Gain) - 1
	return b, nil
}

// mostShown is the difference, on the ln scale, over which none is looked for that is shown: one level carries ten
// times what the other does.
const mostShown = math.Ln10

// Shown is the plan for the smallest difference over Delta that series of perLevel specimens of each level show with
// the wanted chance, to a thirtieth of it, with what they show of it; false where none up to mostShown is shown so. For
// each difference looked at 1,000 series are drawn as Tried draws them. The same seed gives the same. Errors are those
// of At and ctx's own.
func (b Breaks) Shown(ctx context.Context, perLevel int, seed uint64) (shown Breaks, ok bool, err error) {
	halving.Beyond(b.Delta, 2*b.Delta, 2*mostShown, 5, func(delta float64) bool {
		larger := b
		larger.Delta = delta
		if larger, err = larger.tried(ctx, perLevel, seed, MostTried/5); err != nil {
			return false
		}
		// What has no error when series are drawn has none here.
		if each, _, _ := larger.rows().noncentrality(larger, delta); larger.chance(each, perLevel) < b.Wanted {
			return false
		}
		shown, ok = larger, true
		return true
	})
	return shown, ok, err
}

// inner is a random number between 0 and 1, neither of them.
func inner(draw *rand.Rand) float64 { return (float64(draw.Uint64()>>12) + 0.5) / (1 << 52) }

// TriedLeast is the smallest size whose Chance is the wanted one or more, with what series show there or at a size
// next to it. Errors are those of Least and Tried.
func (b Breaks) TriedLeast(ctx context.Context, seed uint64) (Breaks, error) {
	b.Gain, b.More = 0, 0
	return leastTried(b, func(b *Breaks) *int { return &b.TooFew },
		func(b Breaks, n, most int) (Breaks, error) { return b.tried(ctx, n, seed, most) })
}
