package compare

import (
	"context"
	"math"
	"math/rand/v2"

	"breakbook/models/dist"
	"breakbook/models/lists"
	"breakbook/models/parallel"
	"breakbook/models/resample"
	"breakbook/models/verdict"
)

// Reshuffled compares levels by giving the specimens' labels out anew: all pairs, or with
// ref of zero or more each level with that one. blocks has the block of each value, whole
// numbers from 0 beside values, and labels stay within blocks; nil is one block. Every
// arrangement is looked at where there are at most 200 000, else o.Times are drawn. A row's
// P is the share of arrangements whose largest |t| of all rows is at least its own (Westfall
// & Young 1993, single-step), b/N or (b + 1)/(N + 1) (Phipson & Smyth 2010); t has the sd of
// that arrangement. Low, High, Detectable and the ends of Percent are NaN. The answer is
// that of the interval Diff ± Critical·SE, Critical being what the largest |t| of the
// arrangements passes at o.Confidence; Enough is by the t tests of the same family. Diff and
// the mean Percent is of are by least squares within blocks. Errors are *Error or the context's.
func Reshuffled(ctx context.Context, values [][]float64, blocks [][]int, ref int, o Options) (_ *Result, err error) {
	defer parallel.Catch(&err)
	if ref >= len(values) {
		return nil, &Error{"no-such-level", ref}
	}
	rows := allPairs(len(values))
	if ref >= 0 {
		rows = againstOne(len(values), ref)
	}
	d, err := newIntrablock(ctx, values, blocks, rows)
	if err != nil {
		return nil, err
	}
	m := d.means()
	if o, err = o.filled(); err != nil {
		return nil, err
	}
	return m.fromShuffles(ctx, rows, d.reshuffle(ctx, o), tests(m, len(rows), ref), o), nil
}

// tests is the family of t tests of the same rows, to plan with.
func tests(m Means, rows, ref int) family {
	if ref >= 0 {
		return against{levels: rows, rho: 0.5}.planned(m.DF)
	}
	return pairs{dist.NewStudentisedRange(len(m.Mean), m.DF)}
}

// means are the levels' means, within blocks where there are such, as least squares has them.
func (d *intrablock) means() Means {
	m := Means{Mean: make([]float64, d.levels), Cov: square(d.levels), N: d.number, DF: d.df}
	explained := d.effects(d.totals, m.Mean)
	variance := math.Max(0, d.squares-explained) / d.df
	average, all := 0.0, 0.0
	for l, x := range m.Mean {
		average += d.number[l] * x
		all += d.number[l]
	}
	for i := range m.Mean {
		m.Mean[i] += d.grand - average/all
		for j := range m.Mean {
			m.Cov[i][j] = variance * d.inverse[i][j]
		}
	}
	return m
}

// reshuffle looks at every arrangement or at o.Times of them.
func (d *intrablock) reshuffle(ctx context.Context, o Options) *shuffles {
	effects := make([]float64, d.levels)
	_, observed := d.largest(d.totals, effects)
	s := &shuffles{every: arrangements(d.values) <= mostArrangements}
	least := observed*(1-tie) - 1e-13*d.squares
	if s.every {
		everyArrangement(ctx, d.values, d.levels, func(totals []float64) {
			t2, explained := d.largest(totals, effects)
			s.take(math.Sqrt(t2), explained >= least)
		})
	} else {
		n := 0
		for _, b := range d.values {
			n += len(b.values)
		}
		s.draw(ctx, o, resample.BlockFor(5*n+10*len(d.rows)), least, d.dealer)
	}
	k := float64(d.levels)
	return s.finish(ctx, Overall{DF1: k - 1, DF2: d.df,
		F: observed / (k - 1) / (math.Max(0, d.squares-observed) / d.df)})
}

// dealer deals labels out within blocks, each arrangement from the one before.
func (d *intrablock) dealer() dealing {
	totals, effects := make([]float64, d.levels), make([]float64, d.levels)
	hats := lists.Mapped(d.values, newBlockValues)
	return func(draw *rand.Rand, _ int) func() (t, explained float64) {
		for b := range hats {
			copy(hats[b].values, d.values[b].values)
		}
		return func() (t, explained float64) {
			clear(totals)
			for b := range hats {
				hats[b].deal(draw, totals)
			}
			t2, explained := d.largest(totals, effects)
			return math.Sqrt(t2), explained
		}
	}
}

// blockValues is what the values of one block are drawn from; the level with the most
// specimens gets the rest.
type blockValues struct {
	values []float64
	counts []int
	most   int
}

func newBlockValues(b deal) blockValues {
	h := blockValues{values: make([]float64, len(b.values)), counts: b.counts}
	for l, n := range b.counts {
		if n > b.counts[h.most] {
			h.most = l
		}
	}
	return h
}

// deal gives every specimen of the block a level and adds it to the level's total. The
// values sum to zero.
func (h blockValues) deal(draw *rand.Rand, totals []float64) {
	drawn := len(h.values) - h.counts[h.most]
	resample.Pick(draw, h.values, drawn)
	at, given := 0, 0.0
	for l, n := range h.counts {
		if l == h.most {
			continue
		}
		sum := 0.0
		for _, v := range h.values[at : at+n] {
			sum += v
		}
		at += n
		totals[l] += sum
		given += sum
	}
	totals[h.most] -= given
}

// fromShuffles fills in the rows by the arrangements.
func (m Means) fromShuffles(ctx context.Context, rows [][2]int, s *shuffles, f family, o Options) *Result {
	res := &Result{Critical: s.critical(1 - o.Confidence), Method: ByReshuffling,
		Arrangements: len(s.largest), Every: s.every, Overall: s.overall, LeastP: s.tail(s.largest[len(s.largest)-1])}
	critical90 := s.critical(0.10)
	var plan *thresholds
	for _, row := range rows {
		i, j := row[0], row[1]
		nan := math.NaN()
		d := Difference{First: i, Second: j, DF: m.DF, Diff: m.Mean[j] - m.Mean[i], Critical: res.Critical,
			Low: nan, High: nan, PercentLow: nan, PercentHigh: nan, Detectable: nan}
		d.SE = math.Sqrt(m.Cov[i][i] - 2*m.Cov[i][j] + m.Cov[j][j])
		d.Statistic = d.Diff / d.SE
		d.Clear = math.Abs(d.Statistic)
		d.Percent = 100 * d.Diff / m.Mean[i]
		d.P = s.tail(d.Clear)
		d.Answer = verdict.Decide(around(d, res.Critical), around(d, critical90), o.Worth)
		if d.Answer == verdict.CannotTell && d.SE > 0 {
			if plan == nil {
				plan = newThresholds(ctx, f, m.DF, o)
			}
			plan.plan.df = m.futureDF(i, j)
			d.Enough, d.Together = plan.plan.enough(ctx, m.spread(&d), len(rows))
		}
		res.Differences = append(res.Differences, d)
	}
	parallel.Look(ctx)
	return res
}

// around is the interval of a difference by a critical value that |t| must pass, by more than
// a tie, to exclude zero.
func around(d Difference, critical float64) verdict.Range {
	if math.IsInf(critical, 1) {
		return verdict.Range{Low: math.Inf(-1), High: critical}
	}
	half := (critical + zeroT) / (1 - tie) * d.SE
	return verdict.Range{Low: d.Diff - half, High: d.Diff + half}
}
