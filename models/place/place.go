// Package place finds where along a number a response changes: by a jump (Step), or by another
// slope without a jump (Kink). Plain slices go in, specimen by specimen; out comes the place of the
// least residual sum of squares, what it holds, how sure it is, and how often chance does as well.
package place

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"breakbook/models/design"
	"breakbook/models/parallel"
)

// Kind is how the response changes at the place.
type Kind uint8

const (
	Step Kind = iota // 0 up to the place, 1 beyond it
	Kink             // 0 up to the place, the distance from it beyond
)

const (
	// leastOnASide and shareOfSide are how many specimens lie on each side of every place looked
	// at: four, and a tenth of all. A place nearer to an end rests on so few that any odd one
	// makes it (Andrews 1993, Econometrica 61, leaves 15 % out; the tenth is ours).
	leastOnASide = 4
	shareOfSide  = 0.1
	// fewestValues are the different values below which there is nothing to search for.
	fewestForStep, fewestForKink = 3, 4
	// MostSpecimens bounds the time of a search with its reshuffles.
	MostSpecimens = 50_000
	// apartBelow is the share of its own squared length below which what the other columns
	// leave of a change is rounding: there it cannot be told from them.
	apartBelow = 1e-9
)

// Data is where a change is looked for. Every slice has a value a specimen.
type Data struct {
	Y       []float64
	Weights []float64   // nil: all one; a specimen of weight 0 is left out
	Base    [][]float64 // the columns of the model without the change, a kink's own line among them
	X       []float64
}

// Error says why no place can be looked for. Codes: "too-many-specimens"; "few-values" (Have
// different values, Need of them); "few-beside" (no place has Need specimens on each side);
// "not-apart" (the other terms hold a change at every place); "no-freedom-left".
type Error struct {
	Code       string
	Have, Need int
}

func (e *Error) Error() string { return fmt.Sprintf("%s (%d, needed %d)", e.Code, e.Have, e.Need) }

// OnASide is how many of n specimens lie at least on each side of a place.
func OnASide(n int) int { return max(leastOnASide, int(math.Ceil(shareOfSide*float64(n)))) }

// search is the data in the order of x, and what is the same for every response: with it the
// residual sum of squares at every place of one response takes a single pass.
type search struct {
	kind        Kind
	n           int
	root        []float64   // √weight
	y           []float64   // times root
	x           []float64   // from its middle, over half its range
	q           [][]float64 // directions of the base columns, times root
	ends        []int       // how many specimens have each of the values or a smaller one
	values      []float64   // the different values of x, in order, as they came
	scaled      []float64   // the same as x is
	first, last int         // gaps looked at (Step), values looked at (Kink)
	middle      float64
	half        float64
	// Of the specimens beyond value j: what the base columns leave of one, x and both.
	one, mixed, square []float64
	whole              []float64 // of the weight beyond value j
}

// newSearch puts the data in order. It is parallel.Stopped where ctx ends.
func newSearch(ctx context.Context, kind Kind, d Data) (*search, error) {
	s := &search{kind: kind}
	var order []int
	for i := range d.Y {
		if d.Weights == nil || d.Weights[i] > 0 {
			order = append(order, i)
		}
	}
	if s.n = len(order); s.n > MostSpecimens {
		return nil, &Error{Code: "too-many-specimens", Have: s.n, Need: MostSpecimens}
	}
	// equal values in the order of y: the answer is then the same for rows in any order
	slices.SortFunc(order, func(a, b int) int {
		for _, v := range [][]float64{d.X, d.Y, d.Weights} {
			if v != nil && v[a] != v[b] {
				return cmp.Compare(v[a], v[b])
			}
		}
		return 0
	})
	for k, i := range order {
		if k == 0 || d.X[i] != d.X[order[k-1]] {
			s.values, s.ends = append(s.values, d.X[i]), append(s.ends, k)
		}
		s.ends[len(s.ends)-1] = k + 1
	}
	if need := map[Kind]int{Step: fewestForStep, Kink: fewestForKink}[kind]; len(s.values) < need {
		return nil, &Error{Code: "few-values", Have: len(s.values), Need: need}
	}
	if !s.bounds() {
		return nil, &Error{Code: "few-beside", Have: s.n, Need: OnASide(s.n)}
	}
	s.take(ctx, order, d)
	if s.n-len(s.q)-2 < 1 { // the change and its place
		return nil, &Error{Code: "no-freedom-left", Have: s.n, Need: len(s.q) + 3}
	}
	s.measure()
	for j := s.first; j <= s.last; j++ {
		if s.apart(j, s.scaled[j]) {
			return s, nil
		}
	}
	return nil, &Error{Code: "not-apart"}
}

// bounds sets the first and last place with enough specimens on each side.
func (s *search) bounds() bool {
	least, k := OnASide(s.n), len(s.values)
	s.first, s.last = -1, -1
	for j := range k - 1 {
		before := s.ends[j]
		if s.kind == Kink { // strictly below the value itself
			if j == 0 {
				continue
			}
			before = s.ends[j-1]
		}
		if before < least || s.n-s.ends[j] < least {
			continue
		}
		if s.first < 0 {
			s.first = j
		}
		s.last = j
	}
	return s.first >= 0
}

// take scales and orthogonalises the columns.
func (s *search) take(ctx context.Context, order []int, d Data) {
	low, high := s.values[0], s.values[len(s.values)-1]
	s.middle, s.half = low+(high-low)/2, (high-low)/2
	for _, v := range s.values {
		s.scaled = append(s.scaled, (v-s.middle)/s.half)
	}
	for _, i := range order {
		root := 1.0
		if d.Weights != nil {
			root = math.Sqrt(d.Weights[i])
		}
		s.root = append(s.root, root)
		s.y = append(s.y, root*d.Y[i])
		s.x = append(s.x, (d.X[i]-s.middle)/s.half)
	}
	var span design.Span
	for _, c := range d.Base {
		column := make([]float64, s.n)
		for k, i := range order {
			column[k] = s.root[k] * c[i]
		}
		span.Add(ctx, column)
	}
	s.q = span.Directions
}

// measure fills what the base columns leave of the changes, from the highest value down.
func (s *search) measure() {
	k := len(s.values)
	s.one, s.mixed, s.square, s.whole = make([]float64, k), make([]float64, k), make([]float64, k), make([]float64, k)
	alongOne, alongX := make([]float64, len(s.q)), make([]float64, len(s.q))
	var w, wx, wxx float64
	at := s.n
	for j := k - 1; j >= 0; j-- {
		for ; at > s.ends[j]; at-- {
			i := at - 1
			weight := s.root[i] * s.root[i]
			w, wx, wxx = w+weight, wx+weight*s.x[i], wxx+weight*s.x[i]*s.x[i]
			for d, u := range s.q {
				alongOne[d] += s.root[i] * u[i]
				alongX[d] += s.root[i] * s.x[i] * u[i]
			}
		}
		s.one[j], s.mixed[j], s.square[j], s.whole[j] = w, wx, wxx, w
		for d := range s.q {
			s.one[j] -= alongOne[d] * alongOne[d]
			s.mixed[j] -= alongOne[d] * alongX[d]
			s.square[j] -= alongX[d] * alongX[d]
		}
	}
}

// length is the squared length of what the base columns leave of a change at c, which lies in the gap
// beyond value j or on that value.
func (s *search) length(j int, c float64) float64 {
	if s.kind == Step {
		return s.one[j]
	}
	return s.square[j] - 2*c*s.mixed[j] + c*c*s.one[j]
}

// apart reports whether the base columns leave anything of a change there.
func (s *search) apart(j int, c float64) bool { return s.length(j, c) > apartBelow*s.whole[j] }

// rest takes the base columns off a response in place, twice for the digits (Giraud, Langou and
// Rozložník 2005), and gives what is left of its sum of squares.
func (s *search) rest(y []float64) float64 {
	s.off(y)
	return s.off(y)
}

// off is one of these, which does for a draw.
func (s *search) off(y []float64) float64 {
	for _, u := range s.q {
		along := 0.0
		for i, v := range u {
			along += v * y[i]
		}
		for i, v := range u {
			y[i] -= along * v
		}
	}
	sum := 0.0
	for _, v := range y {
		sum += v * v
	}
	return sum
}

// beyond are the sums of a residual response over the specimens beyond each value, and of it times x.
type beyond struct{ one, x []float64 }

func (s *search) newBeyond() beyond {
	return beyond{make([]float64, len(s.values)), make([]float64, len(s.values))}
}

func (s *search) sums(rest []float64, to beyond) {
	var one, x float64
	at := s.n
	for j := len(s.values) - 1; j >= 0; j-- {
		for ; at > s.ends[j]; at-- {
			v := s.root[at-1] * rest[at-1]
			one, x = one+v, x+v*s.x[at-1]
		}
		to.one[j], to.x[j] = one, x
	}
}

// gain is by how much a change at c, in the gap beyond value j, lowers the residual sum of squares.
func (s *search) gain(b beyond, j int, c float64) float64 {
	length := s.length(j, c)
	if !(length > apartBelow*s.whole[j]) {
		return 0
	}
	along := b.one[j]
	if s.kind == Kink {
		along = b.x[j] - c*b.one[j]
	}
	return along * along / length
}

// best is the place of the largest gain: for a step the gap, for a kink every value looked at and,
// between two of them, the one stationary point that can be a maximum (Hudson 1966, J. Am. Stat.
// Assoc. 61: two lines fitted freely that cross within the gap).
func (s *search) best(b beyond) (j int, c, gain float64) {
	j, c = s.first, s.scaled[s.first]
	for k := s.first; k <= s.last; k++ {
		if g := s.gain(b, k, s.scaled[k]); g > gain {
			j, c, gain = k, s.scaled[k], g
		}
		if s.kind == Step || k == s.last {
			continue
		}
		up, down := s.square[k]*b.one[k]-s.mixed[k]*b.x[k], s.one[k]*b.x[k]-s.mixed[k]*b.one[k]
		if cross := -up / down; cross > s.scaled[k] && cross < s.scaled[k+1] {
			if g := s.gain(b, k, cross); g > gain {
				j, c, gain = k, cross, g
			}
		}
	}
	return j, c, gain
}

// gapOf is the value before c, or on it.
func (s *search) gapOf(c float64) int {
	j, found := slices.BinarySearch(s.scaled, c)
	if !found {
		j--
	}
	return max(s.first, min(j, s.last))
}

// original is a scaled place in the unit of x.
func (s *search) original(c float64) float64 { return s.middle + c*s.half }

// change is what the base columns leave of a change of size one at c, in the scale of x.
func (s *search) change(j int, c float64) []float64 {
	out := make([]float64, s.n)
	for i := s.ends[j]; i < s.n; i++ {
		out[i] = s.root[i]
		if s.kind == Kink {
			out[i] *= s.x[i] - c
		}
	}
	s.rest(out)
	return out
}

// Least is the place of the least residual sum of squares alone, without what is drawn at random: the
// place (of a step the middle of its gap) and whether there is one. Errors are *Error or ctx's own.
func Least(ctx context.Context, kind Kind, d Data) (at float64, err error) {
	defer parallel.Catch(&err)
	s, err := newSearch(ctx, kind, d)
	if err != nil {
		return math.NaN(), err
	}
	rest := slices.Clone(s.y)
	s.rest(rest)
	b := s.newBeyond()
	s.sums(rest, b)
	j, c, _ := s.best(b)
	return s.at(j, c), nil
}

// at is a place as it is told: of a step the middle of its gap.
func (s *search) at(j int, c float64) float64 {
	if s.kind == Step {
		return s.values[j] + (s.values[j+1]-s.values[j])/2
	}
	if c == s.scaled[j] {
		return s.values[j]
	}
	return s.original(c)
}
