package shares

import (
	"math"
	"math/bits"
	"math/rand/v2"

	"breakbook/models/design"
)

// precedence is which terms must have entered before another may: a combined term enters
// after its parts. Sets of terms are bit masks.
type precedence struct {
	terms int
	parts []uint64 // by term
	wider []uint64 // by term: the terms it is a part of
	free  bool     // no term has parts
}

func newPrecedence(terms []design.Term) *precedence {
	p := &precedence{terms: len(terms), parts: make([]uint64, len(terms)), wider: make([]uint64, len(terms)),
		free: true}
	for t := range terms {
		for s := range terms {
			if s != t && design.Contains(terms[t], terms[s]) && !design.Contains(terms[s], terms[t]) {
				p.parts[t] |= 1 << s
				p.wider[s] |= 1 << t
				p.free = false
			}
		}
	}
	return p
}

func (p *precedence) all() uint64 { return 1<<p.terms - 1 }

// may reports whether t may enter after the terms of the set.
func (p *precedence) may(set uint64, t int) bool { return set>>t&1 == 0 && p.parts[t]&^set == 0 }

// allowed reports whether the set holds the parts of all its terms.
func (p *precedence) allowed(set uint64) bool {
	for s := set; s != 0; s &= s - 1 {
		if p.parts[bits.TrailingZeros64(s)]&^set != 0 {
			return false
		}
	}
	return true
}

// alone is the set t enters after as early as it may: its parts.
func (p *precedence) alone(t int) uint64 { return p.parts[t] }

// rest is the set t enters after as late as it may: all terms it is no part of.
func (p *precedence) rest(t int) uint64 { return p.all() &^ (p.wider[t] | 1<<t) }

// averages are the mean gains of every term over all orders of entry, from the value of
// every allowed set (by mask): the number of orders that build a set up times that of those
// that go on from it, over the number of all (Shapley 1953; with precedence Faigle & Kern 1992).
func (p *precedence) averages(value []float64) []float64 {
	before, after := make([]float64, len(value)), make([]float64, len(value))
	before[0], after[p.all()] = 1, 1
	for set := range value {
		for t := range p.terms {
			if before[set] > 0 && p.may(uint64(set), t) {
				before[set|1<<t] += before[set]
			}
		}
	}
	for set := len(value) - 1; set >= 0; set-- {
		for t := range p.terms {
			if p.allowed(uint64(set)) && p.may(uint64(set), t) {
				after[set] += after[set|1<<t]
			}
		}
	}
	out := make([]float64, p.terms)
	for set := range value {
		for t := range p.terms {
			if before[set] > 0 && p.may(uint64(set), t) {
				with := set | 1<<t
				out[t] += before[set] * after[with] / before[p.all()] * (value[with] - value[set])
			}
		}
	}
	return out
}

// draw puts an order of entry drawn anew into order, which holds one that is allowed:
// every allowed order alike. With combined terms it is a chain of swaps of neighbours
// (Bubley & Dyer 1999), as many as bring it near enough to uniform.
func (p *precedence) draw(draw *rand.Rand, order []int) {
	k := len(order)
	if p.free {
		draw.Shuffle(k, func(i, j int) { order[i], order[j] = order[j], order[i] })
		return
	}
	for range 2 * k * k * k * (1 + int(math.Log(float64(k)))) {
		// Likelier in the middle than at the ends, as the chain's proof has it.
		at := min(int(draw.Uint64N(uint64(k-1))), int(draw.Uint64N(uint64(k-1))))
		if draw.Uint64()&1 == 0 {
			at = k - 2 - at
		}
		if a, b := order[at], order[at+1]; draw.Uint64()&1 == 0 && p.parts[b]>>a&1 == 0 {
			order[at], order[at+1] = b, a
		}
	}
}

// first is an allowed order: a term enters once its parts have.
func (p *precedence) first() []int {
	var order []int
	for set := uint64(0); set != p.all(); {
		for t := range p.terms {
			if p.may(set, t) {
				order = append(order, t)
				set |= 1 << t
			}
		}
	}
	return order
}
