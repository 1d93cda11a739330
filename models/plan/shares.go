package plan

import (
	"math"
	"slices"

	"breakbook/models/halving"
	"breakbook/models/lists"

	"gonum.org/v1/gonum/stat/combin"
)

// Shares plans for a way of breaking whose share goes From one level To another, tested
// pair by pair with the exact test of a 2 × 2 table (Fisher 1935), the tables no likelier
// than the one seen counted; with more than two levels every pair stands at the level
// divided by the number of pairs.
type Shares struct {
	Levels             int
	From, To           float64
	Confidence, Wanted float64
}

// mostShares bounds the specimens a level of a plan for shares: its exact sums grow with
// the square.
const mostShares = 400

// settles is how many further numbers a level must keep the chance: an exact test's chance
// goes up and down a little from one number to the next.
const settles = 5

func (s Shares) check() error {
	switch {
	case s.Levels < 2:
		return &Error{"too-few-levels"}
	case !(s.From >= 0 && s.From <= 1) || !(s.To >= 0 && s.To <= 1):
		return &Error{"share"}
	case !between(s.Wanted) || !between(s.Confidence):
		return &Error{"share"}
	case s.From == s.To:
		return &Error{"no-difference"}
	}
	return nil
}

// At is what perLevel specimens of each level give. Overall is that of the pair where there
// are two levels, else NaN. Detectable is the change from From, in To's direction, that has
// the wanted chance; NaN where none has. More than twice mostShares are refused.
func (s Shares) At(perLevel int) (Size, error) {
	if err := s.check(); err != nil {
		return Size{}, err
	}
	if perLevel > 2*mostShares {
		return Size{}, &Error{"too-many-specimens"}
	}
	shown := s.shown(perLevel)
	p := shown.chance(s.From, s.To)
	out := Size{PerLevel: perLevel, N: perLevel * s.Levels, Overall: math.NaN(), Pair: p, Chance: p,
		ChanceHighSpread: math.NaN(), Detectable: math.NaN()}
	if s.Levels == 2 {
		out.Overall = p
	}
	end := 1.0
	if s.To < s.From {
		end = 0
	}
	if shown.chance(s.From, end) >= s.Wanted {
		_, part := halving.Between(0, 1, 40, func(x float64) bool {
			return shown.chance(s.From, s.From+x*(end-s.From)) >= s.Wanted
		})
		out.Detectable = math.Abs(end-s.From) * part
	}
	return out, nil
}

// Least is the smallest size from which on the chance stays at the wanted one.
func (s Shares) Least() (Size, error) {
	if err := s.check(); err != nil {
		return Size{}, err
	}
	kept := 0
	for n := 2; n <= mostShares; n++ {
		if s.shown(n).chance(s.From, s.To) < s.Wanted {
			kept = 0
			continue
		}
		if kept++; kept > settles {
			return s.At(n - settles)
		}
	}
	return Size{}, &Error{"out-of-reach"}
}

// shownTables says of two levels of n specimens which counts a of the one with b of the
// other the exact test shows to differ.
type shownTables struct {
	n     int
	lnAll []float64 // ln of n over a
	shown [][]bool  // [a][b]
}

func (s Shares) shown(n int) shownTables {
	alpha := (1 - s.Confidence) / float64(s.Levels*(s.Levels-1)/2)
	t := shownTables{n: n, lnAll: make([]float64, n+1), shown: make([][]bool, n+1)}
	for a := range t.shown {
		t.shown[a] = make([]bool, n+1)
		t.lnAll[a] = combin.LogGeneralizedBinomial(float64(n), float64(a))
	}
	for total := range 2*n + 1 {
		first, last := max(0, total-n), min(n, total)
		var p []float64
		all := combin.LogGeneralizedBinomial(float64(2*n), float64(total))
		for a := first; a <= last; a++ {
			p = append(p, math.Exp(t.lnAll[a]+t.lnAll[total-a]-all))
		}
		order := lists.Indices(len(p))
		slices.SortStableFunc(order, func(i, j int) int {
			if p[i] < p[j] {
				return -1
			}
			return 1
		})
		t.mark(order, p, first, total, alpha)
	}
	return t
}

// mark marks the tables of one total whose p, those equally likely within a part in 10⁷
// counted together, is at most alpha.
func (t shownTables) mark(order []int, p []float64, first, total int, alpha float64) {
	sum := 0.0
	for i := 0; i < len(order); {
		j := i
		for ; j < len(order) && p[order[j]] <= p[order[i]]*(1+1e-7); j++ {
			sum += p[order[j]]
		}
		if sum > alpha {
			return
		}
		for ; i < j; i++ {
			a := first + order[i]
			t.shown[a][total-a] = true
		}
	}
}

// chance sums the probabilities of the tables that are shown.
func (t shownTables) chance(from, to float64) float64 {
	p, q := t.binomial(from), t.binomial(to)
	sum := 0.0
	for a, row := range t.shown {
		for b, shown := range row {
			if shown {
				sum += p[a] * q[b]
			}
		}
	}
	return math.Min(sum, 1)
}

func (t shownTables) binomial(share float64) []float64 {
	out := make([]float64, t.n+1)
	for a := range out {
		out[a] = math.Exp(t.lnAll[a]) * math.Pow(share, float64(a)) * math.Pow(1-share, float64(t.n-a))
	}
	return out
}
