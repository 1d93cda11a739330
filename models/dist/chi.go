package dist

import "math"

// mixture turns a figure that holds for a known sd into the one for an estimated sd: the
// expected value of known(c·s), where s² is chi-square with df degrees of freedom over df
// (s is 1 where df is infinite).
//
// The trapezium rule in ln s, where the integrand falls off at both ends, converges
// exponentially wherever its points lie. They are laid at whole multiples of step in
// ln(c·s), so that values of known are shared between one c and the next.
type mixture struct {
	df   float64
	step float64
	// small is the share of the sum below which a point no longer counts.
	small float64
	// fall and centre say how known falls: as e^(−fall·(w−centre)²/2) beyond centre; fall is
	// 0 where it does not. The summing starts where that times the density of s peaks.
	fall, centre float64
	// rises says that known rises so up to centre, and is even beyond it.
	rises bool
	known func(w float64) float64
	memo  map[int]float64 // known at e^(j·step)
	once  bool            // one value alone is asked for: nothing is remembered, nor the derivative worked out
}

// newMixture lays the points no wider apart than widest, which known must bear, and no
// wider than the density of ln s bears.
func newMixture(df, fall, widest float64, known func(w float64) float64) *mixture {
	step := math.Min(0.4/math.Sqrt(df), widest)
	return &mixture{df: df, step: step, small: 1e-16, fall: fall, known: known, memo: map[int]float64{}}
}

// at gives the mixture at c > 0 and its derivative by ln c.
func (m *mixture) at(c float64) (value, slope float64) {
	if math.IsInf(m.df, 1) {
		if m.once {
			return m.known(c), 0
		}
		const e = 1e-5
		return m.known(c), (m.known(c*math.Exp(e)) - m.known(c*math.Exp(-e))) / (2 * e)
	}
	return m.along(c, nil)
}

// visit calls with every w the mixture at c sums over, and what it adds; the first few that
// no longer count among them.
func (m *mixture) visit(c float64, each func(w, term float64)) {
	if math.IsInf(m.df, 1) {
		each(c, m.known(c))
		return
	}
	m.along(c, each)
}

// along sums for finite df and calls each, if there is one, on the way.
func (m *mixture) along(c float64, each func(w, term float64)) (value, slope float64) {
	switch {
	case math.IsNaN(c):
		return c, c
	case math.IsInf(c, 1):
		return 0, 0
	}
	lnC := math.Log(c)
	front := m.step * math.Sqrt(m.df/math.Pi) * math.Exp(-stirling(m.df/2))
	pull, curb := m.fall*m.centre/2, m.df/c/c+m.fall           // over c and over c², which would overflow
	peak := (pull + math.Sqrt(pull*pull+m.df*curb)) / curb / c // solves c²·curb·s² − 2·c·pull·s − df = 0
	if peak > 1 != m.rises || math.IsNaN(peak) {
		peak = 1
	}
	return alongLine(int(math.Round((lnC+math.Log(peak))/m.step)), m.small, func(j int) (float64, float64) {
		u := float64(j)*m.step - lnC
		term := front * math.Exp(m.df*lnLess(u)) * m.knownAt(j)
		if each != nil {
			each(math.Exp(u+lnC), term)
		}
		if m.once {
			return term, 0
		}
		return term, term * m.df * math.Expm1(2*u)
	})
}

// knownAt is known(e^(j·step)), remembered unless it is asked for once.
func (m *mixture) knownAt(j int) float64 {
	v, ok := m.memo[j]
	if !ok {
		v = m.known(math.Exp(float64(j) * m.step))
		if !m.once {
			m.memo[j] = v
		}
	}
	return v
}

// lnLess is u − (e^2u − 1)/2 without cancellation near 0.
func lnLess(u float64) float64 {
	if math.Abs(u) > 0.1 {
		return u - math.Expm1(2*u)/2
	}
	sum, term := 0.0, u
	for j := 2.0; j < 20; j++ {
		term *= 2 * u / j
		if sum+term == sum {
			break
		}
		sum += term
	}
	return -sum
}

// alongLine adds up terms at whole numbers from start, first down and then up, as long
// as the first of each pair is more than a small share of its sum or still grows; the
// integrand has one hump.
func alongLine(start int, small float64, term func(j int) (f, g float64)) (f, g float64) {
	f, g = term(start)
	for _, direction := range []int{-1, 1} {
		last := f
		for j := start + direction; ; j += direction {
			a, b := term(j)
			f, g = f+a, g+b
			if !(a > last || a > small*f) {
				break
			}
			last = a
		}
	}
	return f, g
}

// point is the c at which the mixture, falling in c, equals goal, from a start above it;
// +Inf at 0, 0 at 1, NaN outside. The logarithm of the tails here falls ever faster in
// ln c, so Newton's steps on logarithms come down to the point without overshooting.
func (m *mixture) point(goal, start float64) float64 {
	switch {
	case !(goal >= 0 && goal <= 1) || math.IsNaN(start):
		return math.NaN()
	case goal == 0:
		return math.Inf(1)
	case goal == 1:
		return 0
	}
	c := start
	for range 100 {
		p, slope := m.at(c)
		if !(p > 0 && slope < 0) {
			return math.NaN()
		}
		step := -math.Log(p/goal) * p / slope
		c *= math.Exp(step)
		if math.Abs(step) < 1e-13 {
			break
		}
	}
	return c
}
