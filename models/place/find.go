package place

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"

	"breakbook/models/lists"
	"breakbook/models/parallel"
	"breakbook/models/resample"
)

// Options of Find.
type Options struct {
	Confidence float64 // of the intervals
	Seed       uint64
	// Line is the column of x itself, where a step is also to be held against a straight line; nil: not.
	Line     []float64
	Progress func(done, total int)
}

// Found is where a response changes, and how sure that is.
type Found struct {
	Kind   Kind
	N      int
	DF     float64 // residual degrees of freedom, the place counted as a parameter
	At     float64 // the place; of a step the middle of its gap
	Before float64 // the values seen next to it: a step lies anywhere between them
	Beyond float64
	RSS    float64 // residual sum of squares with the change, and without
	RSS0   float64

	Low, High           float64 // interval of the place; of a step the ends of the gaps that it holds
	LowIsEnd, HighIsEnd bool    // further out were too few specimens to look, so there the interval has no end
	Size                float64 // of the jump, or the change of slope per unit of x, at the place found
	SizeSE              float64 // its standard error, as if that place were known
	SizeLow, SizeHigh   float64 // its interval, the place left open

	P        float64 // how often reshuffled residuals of the fit without it do as well at the best of all places
	PLine    float64 // the same of reshuffles about a straight line; NaN: not asked
	Shuffles int

	Looked int     // how many stretches were looked at
	Places []Place // every place with some share of the likelihood, in order
}

// Place is one place that a change may have.
type Place struct {
	At       float64 // of a step the middle of its gap
	From, To float64 // the stretch it stands for
	RSS      float64
	Share    float64 // of the likelihood, all places of that stretch alike
	Size, SE float64 // of the change there
}

const (
	shuffles      = 3_999
	fewerShuffles = 999   // with more specimens than manySpecimens
	manySpecimens = 2_000 // which tell more each
	draws         = 499   // of the bootstrap, a place
	fewerDraws    = 299
	nodes         = 7   // places the bootstrap is made at
	steps         = 200 // places of a kink over the range looked at
	tie           = 1e-9
	leastShare    = 1e-7 // of the likelihood, under which a place is left out
)

// Find looks for the change at every place with enough specimens on each side (OnASide), by the least
// residual sum of squares S.
//
// The interval of the place holds every place c at which n (S(c) − S(best)) / S(best) is not above what
// it passes with chance 1 − Confidence where the change is at c with the size found there: by a
// parametric bootstrap at seven places (499 series each, normal residuals), the critical value of the
// others by the line between them. Hansen's limit for large n, -2 ln(1 - sqrt(Confidence)) (Econometrica 68), holds
// a jump of 2.5 sds in 97 to 100 series of 100 at workshop sizes and a kink in 97 to 99; this one holds either in 94
// to 97, but for a large jump between ten temperatures, where it is the gap itself
// (testdata/measured/planning_step.txt).
//
// Each place has the share S(c)^(−m/2) of the likelihood, m the specimens less the coefficients, all places of
// a stretch alike; the interval of the size is the middle of the mixture of its t distributions at all places
// by these shares.
//
// P is that of the largest F over all places: the residuals of the fit without the change reshuffled
// (Freedman and Lane 1983, J. Bus. Econ. Stat. 1), the largest F found anew each time, (b + 1)/(N + 1).
// Errors are *Error or ctx's own.
func Find(ctx context.Context, kind Kind, d Data, o Options) (_ *Found, err error) {
	defer parallel.Catch(&err)
	s, err := newSearch(ctx, kind, d)
	if err != nil {
		return nil, err
	}
	f := &finder{search: s, rest0: slices.Clone(s.y), b: s.newBeyond(), o: o}
	f.rss0 = s.rest(f.rest0)
	s.sums(f.rest0, f.b)
	j, c, gain := s.best(f.b)
	f.j, f.c, f.rss = j, c, f.rss0-gain
	out := &Found{Kind: kind, N: s.n, DF: float64(s.n - len(s.q) - 2), At: s.at(j, c),
		RSS: f.rss, RSS0: f.rss0, P: math.NaN(), PLine: math.NaN(), Shuffles: shuffles}
	if s.n > manySpecimens {
		out.Shuffles = fewerShuffles
	}
	f.neighbours(out)
	f.spread(out)
	if !(f.rss > 1e-20*f.rss0) || f.rss0 == 0 { // met exactly: nothing to judge by
		out.Low, out.High, out.SizeLow, out.SizeHigh = math.NaN(), math.NaN(), math.NaN(), math.NaN()
		return out, nil
	}
	f.interval(ctx, out)
	out.SizeLow, out.SizeHigh = out.Sizes().Interval(o.Confidence)
	out.P = f.chance(ctx, out.Shuffles)
	if o.Line != nil && kind == Step {
		out.PLine = f.againstLine(ctx, d, out.Shuffles)
	}
	return out, nil
}

// finder is a search with the response that was measured.
type finder struct {
	*search
	rest0     []float64
	b         beyond
	rss0, rss float64
	j         int
	c         float64
	o         Options
}

func (f *finder) neighbours(out *Found) {
	out.Looked = f.last - f.first + 1
	out.Before, out.Beyond = f.values[f.j], f.values[f.j]
	if f.kind == Step || f.c != f.scaled[f.j] {
		out.Beyond = f.values[f.j+1]
	}
}

// statistic is n (S(c) − S(best)) / S(best) of a response whose best gain is known.
func (s *search) statistic(rss0, gain, best float64) float64 {
	return float64(s.n) * (best - gain) / (rss0 - best)
}

// places are those that are looked at, with the gap of each: of a step all gaps, of a kink some between
// the values too.
func (f *finder) places() (gaps []int, cs []float64) {
	if f.kind == Step {
		for j := f.first; j <= f.last; j++ {
			gaps, cs = append(gaps, j), append(cs, f.scaled[j])
		}
		return gaps, cs
	}
	cs = append(cs, f.c)
	if from, to := f.scaled[f.first], f.scaled[f.last]; to-from > 0 {
		for i := range steps + 1 {
			cs = append(cs, from+(to-from)*float64(i)/steps)
		}
	}
	slices.Sort(cs)
	cs = slices.Compact(cs)
	for _, c := range cs {
		gaps = append(gaps, f.gapOf(c))
	}
	return gaps, cs
}

// spread shares the likelihood out among the places.
func (f *finder) spread(out *Found) {
	gaps, cs := f.places()
	sum := 0.0
	for i, c := range cs {
		j := gaps[i]
		if !f.apart(j, c) {
			continue
		}
		p := Place{At: f.at(j, c), RSS: f.rss0 - f.gain(f.b, j, c)}
		if f.kind == Step {
			p.From, p.To = f.values[j], f.values[j+1]
		} else {
			p.From, p.To = f.between(cs, i, -1), f.between(cs, i, 1)
		}
		length := f.length(j, c)
		along, unit := f.b.one[j], 1.0
		if f.kind == Kink {
			along, unit = f.b.x[j]-c*f.b.one[j], f.half
		}
		p.Size, p.SE = along/length/unit, math.Sqrt(p.RSS/out.DF/length)/unit
		wide := p.To - p.From
		if len(cs) == 1 { // the one place there is
			wide = 1
		}
		p.Share = wide * math.Exp(-(out.DF+1)/2*math.Log(p.RSS/f.rss))
		if f.rss == 0 {
			p.Share = 0
		}
		if p.At == out.At {
			out.Size, out.SizeSE = p.Size, p.SE
			if f.rss == 0 {
				p.Share = 1
			}
		}
		sum += p.Share
		out.Places = append(out.Places, p)
	}
	for i := range out.Places {
		out.Places[i].Share /= sum
	}
	out.Places = slices.DeleteFunc(out.Places, func(p Place) bool { return p.Share < leastShare && p.At != out.At })
}

// between is halfway to the next place on one side, the place itself at the end.
func (f *finder) between(cs []float64, i, side int) float64 {
	if k := i + side; k >= 0 && k < len(cs) {
		return f.original((cs[i] + cs[k]) / 2)
	}
	return f.original(cs[i])
}

// interval inverts the test of every place.
func (f *finder) interval(ctx context.Context, out *Found) {
	gaps, cs := f.places()
	at, critical := f.criticals(ctx, gaps, cs)
	low, high := -1, -1
	for i, c := range cs {
		if !f.apart(gaps[i], c) {
			continue
		}
		if f.statistic(f.rss0, f.gain(f.b, gaps[i], c), f.rss0-f.rss) <= max(tie, interpolated(at, critical, i)) {
			if low < 0 {
				low = i
			}
			high = i
		}
	}
	out.Low, out.High = f.at(gaps[low], cs[low]), f.at(gaps[high], cs[high])
	if f.kind == Step {
		out.Low, out.High = f.values[gaps[low]], f.values[gaps[high]+1]
	}
	out.LowIsEnd = low == 0 && f.first > 0
	out.HighIsEnd = high == len(cs)-1 && (f.kind == Kink || f.last < len(f.values)-2)
}

// interpolated is the critical value of place i between those at the places at.
func interpolated(at []int, critical []float64, i int) float64 {
	k, found := slices.BinarySearch(at, i)
	switch {
	case found:
		return critical[k]
	case k == 0:
		return critical[0]
	case k == len(at):
		return critical[k-1]
	}
	share := float64(i-at[k-1]) / float64(at[k]-at[k-1])
	return critical[k-1] + share*(critical[k]-critical[k-1])
}

// criticals are the critical values at some of the places, with which they are.
func (f *finder) criticals(ctx context.Context, gaps []int, cs []float64) (at []int, critical []float64) {
	best := 0
	for i := range cs {
		if gaps[i] == f.j && cs[i] == f.c {
			best = i
		}
	}
	at = append(at, best)
	for k := range nodes - 1 {
		at = append(at, k*(len(cs)-1)/(nodes-2))
	}
	slices.Sort(at)
	at = slices.Compact(at)
	at = slices.DeleteFunc(at, func(i int) bool { return !f.apart(gaps[i], cs[i]) })
	n := draws
	if f.n > manySpecimens {
		n = fewerDraws
	}
	all := make([]float64, len(at)*n)
	changes := make([][]float64, len(at))
	for k, i := range at {
		changes[k] = f.change(gaps[i], cs[i])
		g := f.gain(f.b, gaps[i], cs[i])
		sd := math.Sqrt((f.rss0 - g) / float64(f.n-len(f.q)-1))
		size := math.Sqrt(g/f.length(gaps[i], cs[i])) / sd
		for m := range changes[k] {
			changes[k][m] *= size
		}
	}
	w := resample.Work{Seed: f.o.Seed + 1, Pieces: len(all), Block: 250, Progress: f.o.Progress}
	parallel.Heed(resample.Run(ctx, w, func() func(*rand.Rand, int, int) error {
		y, b := make([]float64, f.n), f.newBeyond()
		return func(draw *rand.Rand, from, to int) error {
			for piece := from; piece < to; piece++ {
				parallel.Look(ctx)
				k := piece / n
				for m := range y {
					y[m] = draw.NormFloat64() + changes[k][m]
				}
				rss0 := f.off(y)
				f.sums(y, b)
				_, _, most := f.best(b)
				all[piece] = f.statistic(rss0, f.gain(b, gaps[at[k]], cs[at[k]]), most)
			}
			return nil
		}
	}))
	for k := range at {
		one := all[k*n : (k+1)*n]
		slices.Sort(one)
		critical = append(critical, one[min(n-1, int(math.Ceil(f.o.Confidence*float64(n+1)))-1)])
	}
	return at, critical
}

// Sizes are the sizes of the change at all places.
func (f *Found) Sizes() Mixture {
	return lists.Mapped(f.Places, func(p Place) Part { return Part{Share: p.Share, Value: p.Size, SE: p.SE, DF: f.DF} })
}

// shuffled runs work on the reshuffled residuals of a fit, and gives how often it says yes.
func (f *finder) shuffled(ctx context.Context, seed uint64, times int, rest []float64,
	start func() func(shuffled []float64) bool) (p float64) {
	yes := make([]bool, times)
	w := resample.Work{Seed: seed, Pieces: times, Block: 250, Progress: f.o.Progress}
	parallel.Heed(resample.Run(ctx, w, func() func(*rand.Rand, int, int) error {
		y, as := make([]float64, f.n), start()
		return func(draw *rand.Rand, from, to int) error {
			again := slices.Clone(rest) // every block from the same order, whichever core takes it
			for piece := from; piece < to; piece++ {
				parallel.Look(ctx)
				resample.Pick(draw, again, len(again))
				copy(y, again)
				yes[piece] = as(y)
			}
			return nil
		}
	}))
	count := 1
	for _, is := range yes {
		if is {
			count++
		}
	}
	return float64(count) / float64(times+1)
}

// chance is how often reshuffled residuals of the fit without the change do as well.
func (f *finder) chance(ctx context.Context, times int) float64 {
	seen := (f.rss0 - f.rss) / f.rss0 * (1 - tie)
	return f.shuffled(ctx, f.o.Seed+2, times, f.rest0, func() func([]float64) bool {
		b := f.newBeyond()
		return func(y []float64) bool {
			rss0 := f.off(y)
			f.sums(y, b)
			_, _, gain := f.best(b)
			return gain >= seen*rss0
		}
	})
}

// againstLine is how often reshuffled residuals about a straight line let a step do as much better than
// the line as it does; NaN where the other terms hold the line already.
func (f *finder) againstLine(ctx context.Context, d Data, times int) float64 {
	with := d
	with.Base = append(slices.Clone(d.Base), f.o.Line)
	line, err := newSearch(ctx, Step, with)
	if err != nil || len(line.q) == len(f.q) {
		return math.NaN()
	}
	rest := slices.Clone(line.y)
	rssLine := line.rest(rest)
	if !(rssLine > 0) {
		return math.NaN()
	}
	fitted := lists.Made(f.n, func(i int) float64 { return line.y[i] - rest[i] })
	seen := rssLine / f.rss * (1 - tie)
	return f.shuffled(ctx, f.o.Seed+3, times, rest, func() func([]float64) bool {
		b, about := f.newBeyond(), make([]float64, f.n)
		return func(y []float64) bool {
			copy(about, y)
			rssLine := line.off(about)
			for i := range y {
				y[i] += fitted[i]
			}
			rss0 := f.rest(y)
			f.sums(y, b)
			_, _, gain := f.best(b)
			return rssLine >= seen*(rss0-gain)
		}
	})
}
