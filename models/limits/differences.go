package limits

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"sort"

	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat/distuv"

	"breakbook/models/lists"
	"breakbook/models/parallel"
	"breakbook/models/resample"
	"breakbook/models/verdict"
)

// MostCompared is the number of limits up to which each is compared with each: beyond it the
// draws would be too few for the tails that so many pairs ask for.
const MostCompared = 12

// usualDraws is how many are taken of each pivot where nobody says.
const usualDraws = 100_000

// Comparing is how the loads behind limits are compared.
type Comparing struct {
	Confidence float64 // of the intervals of all pairs together
	Worth      float64 // smallest difference worth having; 0 unknown
	Seed       uint64
	Draws      int // of each pivot; 0: 100,000
	Progress   func(done, total int)
}

// Difference is by how much the load that the share exceeds is larger at one level than at
// another, the limits' own confidence left out.
type Difference struct {
	First, Second int
	Value         float64 // second less first, as estimated
	Low, High     float64
	Clear         float64 // the distance from 0 in halves of the interval
	Answer        verdict.Answer
}

// Differences compares the loads behind limits, each with each, by draws from their pivots
// (generalised pivotal quantities; Krishnamoorthy and Mathew 2009). Levels whose specimens share
// the same blocks are drawn together, a block being taken to shift all of them alike; any others
// as independent, so that blocks that only some of them share make the intervals wider than they
// need to be. Intervals are adjusted for their number by Bonferroni's rule. Limits without a value
// are left out. The error is ctx's own.
func Differences(ctx context.Context, limits []Limit, o Options, c Comparing) (_ []Difference, err error) {
	defer parallel.Catch(&err)
	var kept []int
	for i, l := range limits {
		if l.None == Given && l.pivot != nil {
			kept = append(kept, i)
		}
	}
	if len(kept) < 2 || len(kept) > MostCompared {
		return nil, nil
	}
	draws := c.Draws
	if draws == 0 {
		draws = usualDraws
	}
	z := mathext.NormalQuantile(o.Exceeded)
	drawn := lists.Made(len(kept), func(i int) []float64 { return make([]float64, draws) })
	together := make([]bool, len(kept))
	for i, at := range kept {
		for _, other := range kept {
			together[i] = together[i] || other != at && limits[at].shares(limits[other])
		}
	}
	parallel.Heed(resample.Run(ctx, resample.Work{Seed: c.Seed, Pieces: draws, Block: 1000, Progress: c.Progress},
		func() func(*rand.Rand, int, int) error {
			sums := lists.Mapped(kept, func(at int) []float64 { return limits[at].pivot.sums() })
			return func(draw *rand.Rand, from, to int) error {
				var blocks shifts
				for j := from; j < to; j++ {
					blocks.values = blocks.values[:0]
					for i, at := range kept {
						if together[i] {
							drawn[i][j] = o.load(limits[at].drawWith(draw, &blocks, z))
							continue
						}
						p := limits[at].pivot
						one := p[min(sort.SearchFloat64s(sums[i], draw.Float64()*sums[i][len(p)-1]), len(p)-1)]
						drawn[i][j] = o.load(one.mean + one.sd*draw.NormFloat64())
					}
				}
				return nil
			}
		}))
	pairs := float64(len(kept)*(len(kept)-1)) / 2
	out := make([]Difference, 0, int(pairs))
	room := make([]float64, draws)
	for i := range kept {
		for j := i + 1; j < len(kept); j++ {
			parallel.Look(ctx)
			first, second := limits[kept[i]], limits[kept[j]]
			for d := range room {
				room[d] = drawn[j][d] - drawn[i][d]
			}
			parallel.Sort(ctx, room)
			d := Difference{First: kept[i], Second: kept[j],
				Value: o.load(second.Mean-z*second.SDUsed) - o.load(first.Mean-z*first.SDUsed)}
			d.Low, d.High = ends(room, (1-c.Confidence)/pairs)
			low, high := ends(room, 2*(1-c.Confidence)/pairs)
			d.Answer = verdict.Decide(verdict.Range{Low: d.Low, High: d.High}, verdict.Range{Low: low, High: high},
				c.Worth)
			d.Clear = math.Abs(d.Value) / ((d.High - d.Low) / 2)
			out = append(out, d)
		}
	}
	slices.SortStableFunc(out, func(a, b Difference) int { return a.First - b.First })
	return out, nil
}

// load takes a value back from the scale of the method.
func (o Options) load(x float64) float64 {
	if o.Method == Lognormal {
		return math.Exp(x)
	}
	return x
}

// ends are the values of sorted draws that leave half of a share out on either side.
func ends(sorted []float64, out float64) (low, high float64) {
	skip := min(int(math.Floor(out/2*float64(len(sorted)))), (len(sorted)-1)/2)
	return sorted[skip], sorted[len(sorted)-1-skip]
}

// sums are the weights of the parts added up.
func (p pivot) sums() []float64 {
	out, sum := make([]float64, len(p)), 0.0
	for i, a := range p {
		sum += a.weight
		out[i] = sum
	}
	return out
}

// shares reports whether two levels share the same blocks.
func (l Limit) shares(o Limit) bool {
	return l.curve != nil && o.curve != nil && l.curve.dfUp == o.curve.dfUp && slices.Equal(l.met, o.met)
}

// manyBlocks is the degrees of freedom of blocks from which their chi-square is drawn from one
// normal value (Wilson and Hilferty 1931), whose error is then without weight.
const manyBlocks = 30

// shifts are normal values of one draw that the levels of the same blocks have in common.
type shifts struct{ values []float64 }

func (s *shifts) at(draw *rand.Rand, i int) float64 {
	for len(s.values) <= i {
		s.values = append(s.values, draw.NormFloat64())
	}
	return s.values[i]
}

// drawWith is one draw of the pivot. The means of a block at several levels have in common what
// the block shifts: of their variance the part even·ratio/(1 + even·ratio), the ratio as
// estimated. So have the means of the levels, and the chi-squares of the blocks.
func (l Limit) drawWith(draw *rand.Rand, s *shifts, z float64) float64 {
	c := l.curve
	ratio := l.Between / (1 - l.Between)
	common := math.Sqrt(c.even * ratio / (1 + c.even*ratio))
	own := math.Sqrt(1 - common*common)
	normal := func(i int) float64 { return common*s.at(draw, i) + own*draw.NormFloat64() }
	u := 0.0
	if c.dfUp < manyBlocks {
		for i := range int(c.dfUp) {
			x := normal(1 + i)
			u += x * x
		}
	} else {
		part := 2 / (9 * c.dfUp)
		u = c.dfUp * math.Pow(math.Max(0, 1-part+normal(1)*math.Sqrt(part)), 3)
	}
	variance := c.within / distuv.ChiSquared{K: c.dfWithin, Src: draw}.Rand()
	at, expected, reach := c.at(u * variance)
	x := expected - normal(0)*math.Sqrt(variance*reach) - z*math.Sqrt(variance*(1+at))
	return l.Mean - (l.Mean-x)*l.SDUsed/l.SD
}
