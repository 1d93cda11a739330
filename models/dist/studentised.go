package dist

import (
	"math"
	"sync"
)

// StudentisedRange is the distribution of the range of K standard normal values over an
// independent sd with DF degrees of freedom. Make it with NewStudentisedRange; it keeps
// what it has integrated, so asking one many times is cheap. Not for use by several
// goroutines at once.
type StudentisedRange struct {
	K     int
	DF    float64
	above *mixture
}

// NewStudentisedRange is the studentised range of k ≥ 2 values with df > 0 degrees of
// freedom (fractions and +Inf allowed); anything else gives NaN throughout.
//
// The textbook double integral (Hartley 1942; Miller 1981, section 2.1) is taken for the
// upper tail itself, so that small probabilities keep their digits.
func NewStudentisedRange(k int, df float64) *StudentisedRange {
	const widest = 0.14
	// one of a few widths that serve many degrees of freedom, so that they share what is worked out there
	halved := math.Ceil(2 * math.Log2(widest/math.Min(widest, 0.4/math.Sqrt(df+float64(k)))))
	above := sync.OnceValue(func() *leastValues { return newLeastValues(k) })
	known := func(w float64) float64 {
		return tails.of(tail{k, w}, func() float64 { return above().above(w) })
	}
	return &StudentisedRange{k, df, newMixture(df, 0.5, widest*math.Exp2(-halved/2), known)}
}

// What was found before, since the same few are asked for again and again: by every comparison of the same
// levels, by each way in which its answer is questioned, and by each number of specimens that might settle it.
var (
	points found[point]
	tails  found[tail]
)

type point struct {
	k        int
	df, tail float64
}

// tail is that of the range of k values with a known sd.
type tail struct {
	k int
	w float64
}

// found remembers up to some thousand figures, for several goroutines.
type found[K comparable] struct {
	sync.Mutex
	figures map[K]float64
}

func (f *found[K]) of(key K, work func() float64) float64 {
	f.Lock()
	v, ok := f.figures[key]
	f.Unlock()
	if ok {
		return v
	}
	v = work()
	f.Lock()
	defer f.Unlock()
	if f.figures == nil || len(f.figures) >= 1<<13 {
		f.figures = map[K]float64{}
	}
	f.figures[key] = v
	return v
}

// valid reports whether the parameters make sense.
func (r *StudentisedRange) valid() bool { return r.K >= 2 && r.DF > 0 }

// Tail is the chance that the range exceeds q. For two values it is the t test at q/√2.
func (r *StudentisedRange) Tail(q float64) float64 {
	switch {
	case !r.valid() || math.IsNaN(q):
		return math.NaN()
	case q <= 0:
		return 1
	case math.IsInf(q, 1):
		return 0
	case r.K == 2:
		return TwoSidedT(q/math.Sqrt2, r.DF)
	}
	p, _ := r.above.at(q)
	return math.Min(p, 1)
}

// Point is the value the range exceeds with chance tail: +Inf at 0, 0 at 1, NaN outside.
func (r *StudentisedRange) Point(tail float64) float64 {
	if !r.valid() {
		return math.NaN()
	}
	pairs := float64(r.K*(r.K-1)) / 2
	bonferroni := math.Sqrt2 * -TQuantile(tail/(2*pairs), r.DF) // lies above
	if r.K == 2 {
		return bonferroni
	}
	return points.of(point{r.K, r.DF, tail}, func() float64 { return r.above.point(tail, bonferroni) })
}

// CDF is the chance that the range stays below q, integrated for itself, so that it
// keeps its digits where it is small.
func (r *StudentisedRange) CDF(q float64) float64 {
	switch {
	case !r.valid() || math.IsNaN(q):
		return math.NaN()
	case q <= 0:
		return 0
	case math.IsInf(q, 1):
		return 1
	}
	p, _ := r.below().at(q)
	return math.Min(p, 1)
}

// below is the mixture of the lower tail.
func (r *StudentisedRange) below() *mixture {
	return newMixture(r.DF, 0, r.above.step, func(w float64) float64 { return rangeBelow(r.K, w) })
}

// leastValues are what the tails of the range of k standard normal values share, whatever the
// range: for every least value z, at whole multiples of step, its density among k, the chance
// that one other lies above it, and that all do.
type leastValues struct {
	others int
	step   float64
	near   []leastValue // |z| up to 10; others are worked out when asked for
}

type leastValue struct{ density, above, allAbove float64 }

func newLeastValues(k int) *leastValues {
	l := &leastValues{others: k - 1, step: math.Min(0.4, 0.9/math.Sqrt(float64(k)))}
	most := int(10 / l.step)
	for j := -most; j <= most; j++ {
		l.near = append(l.near, l.workedOut(j))
	}
	return l
}

// at gives the least value j·step.
func (l *leastValues) at(j int) leastValue {
	if i := j + len(l.near)/2; 0 <= i && i < len(l.near) {
		return l.near[i]
	}
	return l.workedOut(j)
}

func (l *leastValues) workedOut(j int) leastValue {
	z := float64(j) * l.step
	front, above := l.step*float64(l.others+1)/math.Sqrt(2*math.Pi), NormalTail(z)
	return leastValue{front * math.Exp(-z*z/2), above, power(above, l.others)}
}

// above is the chance that the range exceeds w: the trapezium rule over the least value, the
// others above it but not all within w.
func (l *leastValues) above(w float64) float64 {
	p, _ := alongLine(int(math.Round(-w/2/l.step)), 1e-16, func(j int) (float64, float64) {
		least, beyond := l.at(j), NormalTail(float64(j)*l.step+w)
		escapes := least.allAbove
		if beyond > 0.1*least.above {
			escapes -= power(least.above-beyond, l.others)
		} else {
			escapes *= -math.Expm1(float64(l.others) * math.Log1p(-beyond/least.above))
		}
		return least.density * escapes, 0
	})
	return p
}

// rangeBelow is the chance that the range of k standard normal values stays below w.
func rangeBelow(k int, w float64) float64 {
	h := 0.6 / math.Sqrt(float64(k))
	start := math.Max(-w/2, -math.Sqrt(2*math.Log(float64(k))))
	front := h * float64(k) / math.Sqrt(2*math.Pi)
	p, _ := alongLine(int(math.Round(start/h)), 1e-16, func(j int) (float64, float64) {
		z := float64(j) * h
		return front * math.Exp(-z*z/2) * power(between(z, z+w), k-1), 0
	})
	return p
}

// between is the chance of a standard normal value between a < b.
func between(a, b float64) float64 {
	switch {
	case a > 0:
		return NormalTail(a) - NormalTail(b)
	case b < 0:
		return NormalTail(-b) - NormalTail(-a)
	default:
		return 1 - NormalTail(-a) - NormalTail(b)
	}
}

// power is x^n for n ≥ 0 by squaring.
func power(x float64, n int) float64 {
	p := 1.0
	for ; n > 0; n >>= 1 {
		if n&1 == 1 {
			p *= x
		}
		x *= x
	}
	return p
}
