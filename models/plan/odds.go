package plan

import (
	"context"
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/mat"

	"breakbook/models/halving"
	"breakbook/models/lists"
	"breakbook/models/odds"
	"breakbook/models/parallel"
)

// Odds plans for a way of breaking whose share goes From one level To another, judged by a fit of its log odds on
// the levels and other terms. Every level is made from specimens with the other columns that its specimens have
// here, or where Balanced from ones with those of all specimens here. The shares are averages over all specimens.
//
// The chance is that of the likelihood ratio of a pair of levels: its noncentrality for n specimens a level is n
// times twice the difference of the expected log likelihoods, per specimen of each level, of the model and of the
// model in which the pair is one (Self, Mauritsen and Ohara 1992, Biometrics 48, 31–39; from memory). With more
// than two levels every pair stands at the error divided by the number of pairs, the other levels midway between
// the pair's log odds, and the chance is that of the pair told least. With few specimens a likelihood ratio passes
// its critical value more often than that says: Tried finds how much by drawing series, as if every level had Gain
// specimens more.
type Odds struct {
	Level    []int       // of every specimen, from 0 to Levels − 1
	Levels   int         // each with a specimen
	Others   [][]float64 // the other terms, by column: a value a specimen
	Offset   []float64   // what they add to the log odds of every specimen
	Balanced bool
	Gain     float64
	TooFew   int // a number of each level that drawn series showed to be too small; 0: none was

	From, To           float64
	Confidence, Wanted float64
}

func (o Odds) check() error {
	return Shares{Levels: o.Levels, From: o.From, To: o.To, Confidence: o.Confidence, Wanted: o.Wanted}.check()
}

// At is what perLevel specimens of each level give; Detectable is the change from From, in To's direction, that has
// the wanted chance in the same pair, NaN where none has. Errors are those of Shares.At but for the number, and
// "confounded" where the other terms do not let a pair of levels be told apart.
func (o Odds) At(perLevel int) (Size, error) {
	if err := o.check(); err != nil {
		return Size{}, err
	}
	if perLevel < 2 {
		return Size{}, &Error{"too-few-specimens"}
	}
	rows := o.rows()
	each, pair, err := rows.noncentrality(o, o.To)
	if err != nil {
		return Size{}, err
	}
	p := o.chance(each, perLevel)
	out := Size{PerLevel: perLevel, N: perLevel * o.Levels, Overall: math.NaN(), Pair: p, Chance: p,
		ChanceHighSpread: math.NaN(), Detectable: math.NaN()}
	if o.Levels == 2 {
		out.Overall = p
	}
	end := o.farthest()
	enough := func(to float64) bool {
		lost, err := rows.lost(rows.chances(o, pair, to), pair[0], pair[1])
		return err == nil && o.chance(2*lost, perLevel) >= o.Wanted
	}
	if (end-o.From)*(o.To-o.From) > 0 && enough(end) {
		_, x := halving.Between(o.From, end, 16, enough)
		out.Detectable = math.Abs(x - o.From)
	}
	return out, nil
}

// Least is the smallest size whose Chance is the wanted one or more.
func (o Odds) Least() (Size, error) {
	n, err := o.least()
	if err != nil {
		return Size{}, err
	}
	return o.At(n)
}

// least is the number of each level of Least.
func (o Odds) least() (int, error) {
	if err := o.check(); err != nil {
		return 0, err
	}
	each, _, err := o.rows().noncentrality(o, o.To)
	if err != nil {
		return 0, err
	}
	n, ok := leastWhole(func(n int) bool { return o.chance(each, n) >= o.Wanted })
	if !ok {
		return 0, &Error{"out-of-reach"}
	}
	return max(n, o.TooFew+1), nil
}

// chance is that of the likelihood ratio of a pair with n specimens of each level.
func (o Odds) chance(each float64, n int) float64 {
	alpha := o.alpha()
	return likelihoodChance(alpha, each*math.Max(0, float64(n)+o.Gain))
}

// alpha is the error that a pair is judged at.
func (o Odds) alpha() float64 { return (1 - o.Confidence) / float64(o.Levels*(o.Levels-1)/2) }

// Inflation is by how much the other terms swell the variance of the log odds between two levels, of the pair
// where they do most: 1/(1 − R²) of Hsieh, Bloch and Larsen (1998, Statistics in Medicine 17, 1623–1634; from
// memory), here from Fisher's information with the terms and without. Errors are those of At.
func (o Odds) Inflation() (float64, error) {
	if err := o.check(); err != nil {
		return 0, err
	}
	return o.rows().inflation(o)
}

// Hardest is the pair of levels that the plan is for, the one told least: the level with the share From and that
// with To. Errors are those of At.
func (o Odds) Hardest() (from, to int, err error) {
	if err := o.check(); err != nil {
		return 0, 0, err
	}
	_, pair, err := o.rows().noncentrality(o, o.To)
	return pair[0], pair[1], err
}

// oddsRows are the specimens that stand for all that are made, with what their other terms add to the log odds.
type oddsRows struct {
	madeRows
	offset []float64
	all    []float64 // the offsets that shares are averaged over
}

func (o Odds) rows() oddsRows {
	r := oddsRows{madeRows: madeOf(o.Level, o.Levels, o.Others, o.Balanced)}
	for _, i := range r.specimen {
		r.offset = append(r.offset, o.Offset[i])
	}
	for _, i := range r.every {
		r.all = append(r.all, o.Offset[i])
	}
	return r
}

// base is the log odds to which the other terms add, such that the share over all specimens is p.
func (r oddsRows) base(p float64) float64 {
	_, a := halving.Between(-60, 60, 80, func(a float64) bool {
		sum := 0.0
		for _, off := range r.all {
			sum += logistic(a + off)
		}
		return sum >= p*float64(len(r.all))
	})
	return a
}

func logistic(eta float64) float64 { return 1 / (1 + math.Exp(-eta)) }

// pairs visits the pairs of levels, each both ways round, with the chance of every row where the first has the
// share From and the second to; where the levels are made from the same specimens one pair stands for all.
func (r oddsRows) pairs(o Odds, to float64, visit func(i, j int, p []float64) error) error {
	for i := range o.Levels {
		for j := range o.Levels {
			if i == j || o.Balanced && (i != 0 || j != 1) {
				continue
			}
			if err := visit(i, j, r.chances(o, [2]int{i, j}, to)); err != nil {
				return err
			}
		}
	}
	return nil
}

// chances are those of every row where a pair's first level has the share From and its second to.
func (r oddsRows) chances(o Odds, pair [2]int, to float64) []float64 {
	first, second := r.base(o.From), r.base(to)
	p := make([]float64, len(r.level))
	for row, l := range r.level {
		base := (first + second) / 2
		switch l {
		case pair[0]:
			base = first
		case pair[1]:
			base = second
		}
		p[row] = logistic(base + r.offset[row])
	}
	return p
}

// noncentrality is that of the likelihood ratio for one specimen of each level, of the pair where it is smallest,
// and that pair.
func (r oddsRows) noncentrality(o Odds, to float64) (least float64, pair [2]int, err error) {
	least = math.Inf(1)
	err = r.pairs(o, to, func(i, j int, p []float64) error {
		if _, err := r.contrast(p, i, j, len(r.x[0])); err != nil {
			return err
		}
		lost, err := r.lost(p, i, j)
		if 2*lost < least {
			least, pair = 2*lost, [2]int{i, j}
		}
		return err
	})
	return least, pair, err
}

// lost is how much of the expected log likelihood is lost where levels i and j share one log odds: the model with
// the chances p is fitted without their difference, by Newton's method.
func (r oddsRows) lost(p []float64, i, j int) (float64, error) {
	k := len(r.x[0])
	one := func(x []float64) []float64 { // the columns with that of j joined to i's
		out := make([]float64, 0, k-1)
		for c, v := range x {
			switch c {
			case i:
				out = append(out, v+x[j])
			case j:
			default:
				out = append(out, v)
			}
		}
		return out
	}
	x := lists.Made(len(r.x), func(row int) []float64 { return one(r.x[row]) })
	value := func(beta []float64) float64 {
		sum := 0.0
		for row, own := range x {
			q := 0.0
			for c, v := range own {
				q += beta[c] * v
			}
			sum += r.weight[row] * (p[row]*q - softplus(q))
		}
		return sum
	}
	beta := make([]float64, k-1)
	at := value(beta)
	for range 100 {
		slope, info := make([]float64, k-1), mat.NewSymDense(k-1, nil)
		for row, own := range x {
			q := 0.0
			for c, v := range own {
				q += beta[c] * v
			}
			q = logistic(q)
			for a, va := range own {
				slope[a] += r.weight[row] * (p[row] - q) * va
				for b := a; b < k-1; b++ {
					info.SetSym(a, b, info.At(a, b)+r.weight[row]*q*(1-q)*va*own[b])
				}
			}
		}
		var root mat.Cholesky
		var step mat.VecDense
		if !root.Factorize(info) || root.SolveVecTo(&step, mat.NewVecDense(k-1, slope)) != nil {
			return 0, &Error{"confounded"}
		}
		gain := mat.Dot(&step, mat.NewVecDense(k-1, slope))
		next, part := make([]float64, k-1), 1.0
		for {
			for c := range next {
				next[c] = beta[c] + part*step.AtVec(c)
			}
			if now := value(next); now >= at || part < 1e-9 {
				beta, at = next, now
				break
			}
			part /= 2
		}
		if gain < 1e-14 {
			break
		}
	}
	full := 0.0
	for row, own := range p {
		if own > 0 && own < 1 {
			full += r.weight[row] * (own*math.Log(own) + (1-own)*math.Log1p(-own))
		}
	}
	return math.Max(0, full-at), nil
}

// softplus is ln(1 + e^x).
func softplus(x float64) float64 { return math.Max(x, 0) + math.Log1p(math.Exp(-math.Abs(x))) }

// contrast is the variance of the log odds of level j less level i by Fisher's information, one specimen of each
// level made, with the first columns of the design alone.
func (r oddsRows) contrast(p []float64, i, j, columns int) (float64, error) {
	info := mat.NewSymDense(columns, nil)
	for row, own := range r.x {
		w := r.weight[row] * p[row] * (1 - p[row])
		for a := range columns {
			for b := a; b < columns; b++ {
				info.SetSym(a, b, info.At(a, b)+w*own[a]*own[b])
			}
		}
	}
	return contrastVariance(info, i, j)
}

func (r oddsRows) inflation(o Odds) (float64, error) {
	most := 1.0
	err := r.pairs(o, o.To, func(i, j int, p []float64) error {
		with, err := r.contrast(p, i, j, len(r.x[0]))
		if err != nil {
			return err
		}
		alone, err := r.contrast(p, i, j, o.Levels)
		most = math.Max(most, with/alone)
		return err
	})
	return most, err
}

// Tried is the plan with the Gain that series of perLevel specimens of each level show, drawn from the truth that it
// is made for and judged as a fit of the odds judges the pair told least: by the likelihood ratio, with Firth's
// penalty where levels separate. A series that cannot be fitted shows nothing. The same seed gives the same. Errors
// are those of At and ctx's own.
func (o Odds) Tried(ctx context.Context, perLevel int, seed uint64) (Odds, error) {
	return o.tried(ctx, perLevel, seed, MostTried)
}

func (o Odds) tried(ctx context.Context, perLevel int, seed uint64, most int) (_ Odds, err error) {
	defer parallel.Catch(&err)
	if err := o.check(); err != nil {
		return o, err
	}
	rows := o.rows()
	each, pair, err := rows.noncentrality(o, o.To)
	if err != nil {
		return o, err
	}
	chance := rows.chances(o, pair, o.To)
	d := rows.drawn(o.Levels, pair, perLevel)
	series := seriesTried(most, perLevel*o.Levels, len(rows.x[0]))
	share := shareShown(ctx, series, seed, func() func(draw *rand.Rand) bool {
		s := odds.Sample{Columns: d.columns(rows.madeRows), Mode: make([]int, perLevel*o.Levels), Modes: 2}
		return func(draw *rand.Rand) bool {
			d.each(rows.madeRows, draw, s.Columns, func(at, row int) {
				s.Mode[at] = 0
				if draw.Float64() < chance[row] {
					s.Mode[at] = 1
				}
			})
			f, err := odds.Bare(ctx, s)
			if err != nil {
				return false
			}
			p, err := f.Without(ctx, []int{1})
			return err == nil && p < o.alpha()
		}
	})
	o.Gain = gainFor(o.alpha(), each, perLevel, share)
	return o, nil
}

// Shown is the plan for the smallest change from From beyond To that series of perLevel specimens of each level show
// with the wanted chance, to a sixteenth of what is left beyond To, with what they show of it; false where not even
// that to (nearly) none or all is shown so. For each change looked at 500 series are drawn as Tried draws them. The
// same seed gives the same. Errors are those of At and ctx's own.
func (o Odds) Shown(ctx context.Context, perLevel int, seed uint64) (shown Odds, ok bool, err error) {
	enough := func(to float64) bool {
		larger := o
		larger.To = to
		if larger, err = larger.tried(ctx, perLevel, seed, MostTried/10); err != nil {
			return false
		}
		// What has no error when series are drawn has none here.
		if each, _, _ := larger.rows().noncentrality(larger, to); larger.chance(each, perLevel) < o.Wanted {
			return false
		}
		shown, ok = larger, true
		return true
	}
	if end := o.farthest(); enough(end) {
		halving.Between(o.To, end, 4, enough)
	}
	return shown, ok, err
}

// farthest is the share that To is taken to in a look at what could be shown at all.
func (o Odds) farthest() float64 {
	if o.To < o.From {
		return 0.001
	}
	return 0.999
}

// TriedLeast is the smallest size whose Chance is the wanted one or more, with the Gain found there or at a size
// next to it: fewer series find about where that is. Errors are those of Least and Tried.
func (o Odds) TriedLeast(ctx context.Context, seed uint64) (Odds, error) {
	o.Gain = 0
	return leastTried(o, func(o *Odds) *int { return &o.TooFew },
		func(o Odds, n, most int) (Odds, error) { return o.tried(ctx, n, seed, most) })
}

// leastTried looks for the smallest size of a plan by drawing series at the sizes that it gives: some between the
// largest that was too small and the smallest that was enough, and then many at that one, and at the few that the plan
// tells by them. tooFew is where a plan notes which sizes are too small.
func leastTried[P interface{ least() (int, error) }](p P, tooFew func(p *P) *int,
	tried func(p P, n, most int) (P, error)) (P, error) {
	*tooFew(&p) = 0
	size, err := p.least()
	small, enough, settled := 1, math.MaxInt, false
	for n := size; err == nil && enough-small > 1 && !settled; n = min(size, enough-1) {
		if n <= small {
			n = small + (enough-small)/2
		}
		if p, err = tried(p, n, MostTried/5); err != nil {
			return p, err
		}
		size, err = p.least()
		if settled = err == nil && size == n; err == nil && size <= n {
			enough = n
		} else {
			small = n
		}
	}
	if err != nil {
		return p, err
	}
	if p, err = tried(p, enough, MostTried); err != nil {
		return p, err
	}
	for range mostRetried {
		if size, err = p.least(); err != nil || size >= enough {
			return p, nil
		}
		fewer, err := tried(p, size, MostTried)
		if err != nil {
			return p, err
		}
		*tooFew(&fewer) = size - 1
		if now, err := fewer.least(); err == nil && now == size {
			return fewer, nil
		}
		*tooFew(&p) = size
	}
	return p, nil
}

// mostRetried is how many sizes below the one that some series showed to be enough are tried with many.
const mostRetried = 4
