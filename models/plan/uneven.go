package plan

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"breakbook/models/dist"
	"breakbook/models/lists"
)

// Uneven is a plan of one factor with a number of specimens of its own for every level: N[i] of level i, two
// levels or more. The rest is as in Means; of Blocks, Whole has one entry.
type Uneven struct {
	N          []int
	Delta, SD  float64
	HighSD     float64
	Confidence float64
	Wanted     float64
	Blocks     *Blocks
	Others     int
}

// UnevenSize is what the numbers of an Uneven plan give. Size.PerLevel is the number of specimens in all.
type UnevenSize struct {
	Size
	Pairs []Pair
}

// Pair is what a plan gives for two levels, by their index, First < Second.
type Pair struct {
	First, Second int
	Chance        float64 // of the pair's own test, for the difference Delta
	Detectable    float64 // the smallest difference with the wanted chance
	Half          float64 // expected half of the interval
}

// means is the plan with as many specimens of every level, for what does not depend on the numbers.
func (m Uneven) means() Means {
	return Means{Levels: []int{len(m.N)}, Delta: m.Delta, SD: m.SD, HighSD: m.HighSD, Confidence: m.Confidence,
		Wanted: m.Wanted, Blocks: m.Blocks, Others: m.Others}
}

func (m Uneven) whole() bool { return m.Blocks != nil && m.Blocks.Whole[0] }

// within reports whether levels are compared within blocks that differ.
func (m Uneven) within() bool { return m.blockSD() > 0 && !m.whole() }

func (m Uneven) all() int {
	sum := 0
	for _, n := range m.N {
		sum += n
	}
	return sum
}

// Layout is how many specimens of each level every block gets, by block: of levels made from whole blocks
// Blocks.Each of one level, else as many of every level as come to it when the specimens, level after level, are
// dealt to the blocks in turn. Without blocks it is one block.
func (m Uneven) Layout() [][]int {
	k := len(m.N)
	switch {
	case m.Blocks == nil:
		return [][]int{slices.Clone(m.N)}
	case m.whole():
		var out [][]int
		for i, n := range m.N {
			for ; n > 0; n -= m.Blocks.Each {
				block := make([]int, k)
				block[i] = min(n, m.Blocks.Each)
				out = append(out, block)
			}
		}
		return out
	}
	size := m.Blocks.Each * k
	out := lists.Made((m.all()+size-1)/size, func(b int) []int { return make([]int, k) })
	next := 0
	for i, n := range m.N {
		for range n {
			out[next%len(out)][i]++
			next++
		}
	}
	return out
}

// df are the degrees of freedom of the differences, as Means.df has them: N − k, between whole blocks B − k,
// within blocks N − B − k + 1; the Others are taken off but between whole blocks.
func (m Uneven) df() float64 {
	n, k := m.all(), len(m.N)
	switch {
	case m.Blocks == nil || m.Blocks.SD == 0:
		return float64(n - k - m.Others)
	case m.whole():
		return float64(len(m.Layout()) - k)
	}
	return float64(n - len(m.Layout()) - k + 1 - m.Others)
}

// variance gives the variance of the difference of two level means, by generalised least squares with the sds
// known (textbook): the information that a block of m specimens, r of each level, adds about the means is
// (diag(r) − γ·r·r')/sd² with γ = blockSD²/(sd² + m·blockSD²). nil where the means cannot be told apart.
func (m Uneven) variance(sd, blockSD float64) func(i, j int) float64 {
	if blockSD == 0 {
		return func(i, j int) float64 { return sd * sd * (1/float64(m.N[i]) + 1/float64(m.N[j])) }
	}
	k := len(m.N)
	info := mat.NewSymDense(k, nil)
	for _, block := range m.Layout() {
		size := 0
		for _, r := range block {
			size += r
		}
		share := blockSD * blockSD / (sd*sd + float64(size)*blockSD*blockSD)
		for i := range k {
			for j := i; j < k; j++ {
				x := -share * float64(block[i]*block[j])
				if i == j {
					x += float64(block[i])
				}
				info.SetSym(i, j, info.At(i, j)+x/(sd*sd))
			}
		}
	}
	var root mat.Cholesky
	var v mat.SymDense
	if !root.Factorize(info) || root.InverseTo(&v) != nil {
		return nil
	}
	return func(i, j int) float64 { return v.At(i, i) + v.At(j, j) - 2*v.At(i, j) }
}

// unevenTest is the tests with the numbers of a plan.
type unevenTest struct{ df, f, t float64 }

func (m Uneven) test() unevenTest {
	df := m.df()
	k := len(m.N)
	t := unevenTest{df: df, f: dist.FPoint(1-m.Confidence, float64(k-1), df)}
	if t.t = math.Sqrt(t.f); k > 2 {
		t.t = pairPoint(k, df, 1-m.Confidence)
	}
	return t
}

// overall is the chance of the F test where two levels whose difference has the variance v stand delta apart and
// the others where they add least to it: its noncentrality is then delta²/v.
func (m Uneven) overall(t unevenTest, delta, v float64) float64 {
	return dist.NoncentralFTail(t.f, float64(len(m.N)-1), t.df, delta*delta/v)
}

func (t unevenTest) pair(delta, v float64) float64 {
	return dist.PassingChance(t.t, t.df, delta/math.Sqrt(v))
}

// check is that of Means, with "too-few-specimens" where there is nothing to judge by and "uneven-blocks" where a
// level made from whole blocks has a number that is no multiple of their size.
func (m Uneven) check() error {
	if len(m.N) < 2 {
		return &Error{"too-few-levels"}
	}
	if err := m.means().check(); err != nil {
		return err
	}
	for _, n := range m.N {
		if n < 1 {
			return &Error{"too-few-specimens"}
		}
		if m.whole() && n%m.Blocks.Each != 0 {
			return &Error{"uneven-blocks"}
		}
	}
	if m.all() > Most*len(m.N) {
		return &Error{"out-of-reach"}
	}
	if m.df() < 1 {
		return &Error{"too-few-specimens"}
	}
	return nil
}

func (m Uneven) blockSD() float64 { return m.means().blockSD() }

// Given is what the plan's own numbers give. Chances are those of the pair that is told least. Pairs are judged
// by the studentised range with each pair's own numbers (Tukey and Kramer), as compare does; Half and the answers
// are those of pairTest.answers.
func (m Uneven) Given() (UnevenSize, error) {
	if err := m.check(); err != nil {
		return UnevenSize{}, err
	}
	t, v := m.test(), m.variance(m.SD, m.blockSD())
	if v == nil {
		return UnevenSize{}, &Error{"too-few-specimens"}
	}
	out := UnevenSize{Size: Size{PerLevel: m.all(), N: m.all(), Overall: 1, Pair: 1, Detectable: 0,
		ChanceHighSpread: math.NaN()}}
	if m.Blocks != nil {
		out.Blocks = len(m.Layout())
	}
	worst := m.worst(v)
	for i := range m.N {
		for j := i + 1; j < len(m.N); j++ {
			p := Pair{First: i, Second: j, Chance: t.pair(m.Delta, v(i, j)), Half: m.pairTest(i, j).answers(0, 1).Half}
			p.Detectable = m.SD * least(m.Wanted, func(d float64) float64 { return t.pair(d*m.SD, v(i, j)) })
			out.Pairs = append(out.Pairs, p)
		}
	}
	out.Overall, out.Pair = m.overall(t, m.Delta, worst), t.pair(m.Delta, worst)
	out.Chance = math.Min(out.Overall, out.Pair)
	out.Detectable = m.SD * least(m.Wanted, func(d float64) float64 {
		return math.Min(m.overall(t, d*m.SD, worst), t.pair(d*m.SD, worst))
	})
	if m.HighSD > 0 {
		out.ChanceHighSpread = m.chance(m.HighSD, m.means().highBlockSD())
	}
	return out, nil
}

// chance is the plan's chance with sds that are given.
func (m Uneven) chance(sd, blockSD float64) float64 {
	t, v := m.test(), m.variance(sd, blockSD)
	if v == nil {
		return 0
	}
	worst := m.worst(v)
	return math.Min(m.overall(t, m.Delta, worst), t.pair(m.Delta, worst))
}

// worst is the largest variance of any pair.
func (m Uneven) worst(variance func(i, j int) float64) float64 {
	worst := 0.0
	for i := range m.N {
		for j := range i {
			worst = math.Max(worst, variance(j, i))
		}
	}
	return worst
}

// pairTest is the difference of two levels as it will be tested.
func (m Uneven) pairTest(i, j int) pairTest {
	df, k := m.df(), len(m.N)
	return pairTest{df: df, sd: math.Sqrt(m.variance(m.SD, m.blockSD())(i, j)), wide: pairPoint(k, df, 1-m.Confidence),
		narrow: pairPoint(k, df, 2*(1-m.Confidence))}
}

// Answers are what the plan would say about two levels that truly stand truth apart. Errors are those of Given.
func (m Uneven) Answers(first, second int, truth, worth float64) (Answers, error) {
	if err := m.check(); err != nil {
		return Answers{}, err
	}
	return m.pairTest(first, second).answers(truth, worth), nil
}

// At is what n specimens in all give in the plan's own proportions, each level's number rounded and of levels
// made from whole blocks to whole blocks.
func (m Uneven) At(n int) (Size, error) {
	if n == m.all() {
		s, err := m.Given()
		return s.Size, err
	}
	step := m.means().Step()
	scaled := make([]int, len(m.N))
	for i, own := range m.N {
		scaled[i] = max(1, int(math.Round(float64(own*n)/float64(m.all()*step)))) * step
	}
	m.N = scaled
	s, err := m.Given()
	s.PerLevel = n
	return s.Size, err
}

// Least is the size of the plan's own numbers: they are given, not looked for.
func (m Uneven) Least() (Size, error) { return m.At(m.all()) }
