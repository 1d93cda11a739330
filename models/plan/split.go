package plan

import (
	"cmp"
	"math"
	"slices"

	"breakbook/models/halving"
)

// Split is the cheapest numbers of specimens with which a plan reaches its aim, beside as many of every level.
type Split struct {
	N         []int
	Cost      float64
	Equal     int // of each level, were they all as many
	EqualCost float64
	Whole     bool // every split was looked at or ruled out; else the cheapest of those looked at
}

// least2 is how many specimens, or whole blocks, every level of a split has at least: a level of one says nothing
// of its own scatter.
const least2 = 2

// Cheapest finds the numbers of specimens with which the smaller of the chances of Uneven.Given is the wanted one
// at the least cost, cost[i] being that of a specimen of level i, over zero; m.N gives the number of levels alone.
// Without blocks, with blocks that are alike and with levels made from whole blocks the chance depends on the two
// smallest numbers and on their sum only. So of all splits with those, the cheapest has the smallest number at the
// dearest level, the second smallest at all others, and what is more of the sum at the cheapest: each smallest
// number is looked at, with each second one and the fewest that then do. Where levels are compared within blocks
// splits of the first two kinds alone are looked at, and Whole is false. For many specimens of two levels the
// numbers approach n₁/n₂ = √(c₂/c₁) (Cochran 1977, Sampling Techniques, 5.5, for equal spreads; from memory).
// Errors are those of Means.Least, and "out-of-range" for a cost that is not over zero.
func (m Uneven) Cheapest(cost []float64) (Split, error) {
	k := len(cost)
	for _, c := range cost {
		if !(c > 0) || math.IsInf(c, 0) {
			return Split{}, &Error{"out-of-range"}
		}
	}
	m.N = make([]int, k)
	equal, err := m.means().Least()
	if err != nil {
		return Split{}, err
	}
	step := m.means().Step()
	s := &splits{m: m, step: step, cost: cost, order: make([]int, k)}
	for i := range s.order {
		s.order[i] = i
	}
	slices.SortStableFunc(s.order, func(a, b int) int { return cmp.Compare(cost[b], cost[a]) }) // the dearest first
	out := Split{Equal: equal.PerLevel, Whole: !m.within()}
	s.best = s.numbers(equal.PerLevel/step, equal.PerLevel/step, 0)
	out.EqualCost = s.price(s.best)
	s.cheapest = out.EqualCost
	s.look(equal.PerLevel / step)
	out.N, out.Cost = s.best, s.cheapest
	return out, nil
}

// splits are the splits that are looked at, in steps of specimens.
type splits struct {
	m        Uneven
	step     int
	cost     []float64
	order    []int // of the levels, the dearest first
	best     []int
	cheapest float64
}

// numbers are the specimens of each level: a of the dearest, b of the others, and more of the cheapest.
func (s *splits) numbers(a, b, more int) []int {
	n := make([]int, len(s.cost))
	for place, level := range s.order {
		n[level] = b * s.step
		if place == 0 {
			n[level] = a * s.step
		}
		if place == len(s.order)-1 {
			n[level] += more * s.step
		}
	}
	return n
}

func (s *splits) price(n []int) float64 {
	sum := 0.0
	for i, c := range s.cost {
		sum += c * float64(n[i])
	}
	return sum
}

func (s *splits) enough(n []int) bool {
	m := s.m
	m.N = n
	return m.df() >= 1 && m.chance(m.SD, m.blockSD()) >= m.Wanted
}

// keep takes a split that is enough where it costs less, or as much with fewer specimens.
func (s *splits) keep(n []int) {
	total := func(n []int) int { return Uneven{N: n}.all() }
	if c := s.price(n); c < s.cheapest || c == s.cheapest && total(n) < total(s.best) {
		s.best, s.cheapest = n, c
	}
}

// look goes through the smallest numbers up to equal, beyond which every split costs more than an equal one.
func (s *splits) look(equal int) {
	for a := equal; a >= least2; a-- {
		least := s.numbers(a, a, 0)
		// b up to where the split costs more than the cheapest yet.
		most := a
		if room := s.cheapest - s.price(least); room > 0 {
			others := s.price(s.numbers(a, a+1, 0)) - s.price(least)
			most = a + int(math.Ceil(room/others))
		}
		if !s.enough(s.numbers(a, most, 0)) {
			if a < equal && !s.enough(s.numbers(a, Most, 0)) {
				return // no number of the others makes up for so few
			}
			s.more(a, most)
			continue
		}
		b := halving.Whole(a, most, func(b int) bool { return s.enough(s.numbers(a, b, 0)) })
		s.keep(s.numbers(a, b, 0))
		s.more(a, b)
	}
}

// more looks at fewer of the others than b with more of the cheapest level, whose specimens add to the degrees of
// freedom alone. Of two levels that is no other split, and within blocks it is not looked at.
func (s *splits) more(a, b int) {
	if len(s.cost) == 2 || s.m.within() {
		return
	}
	for b--; b >= a; b-- {
		n := s.numbers(a, b, 0)
		room := int((s.cheapest - s.price(n)) / (s.cost[s.order[len(s.order)-1]] * float64(s.step)))
		if room < 1 || !s.enough(s.numbers(a, b, room)) {
			if !s.enough(s.numbers(a, b, 100*Most)) {
				return // no degrees of freedom make up for so few
			}
			continue
		}
		more := halving.Whole(1, room, func(more int) bool { return s.enough(s.numbers(a, b, more)) })
		s.keep(s.numbers(a, b, more))
	}
}
