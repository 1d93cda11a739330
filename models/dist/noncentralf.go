package dist

import "math"

// leastPoisson is the share of the largest term below which the rest of a sum over
// Poisson weights is left out.
const leastPoisson = 1e-18

// NoncentralFTail is the chance that a noncentral F on d1 and d2 degrees of freedom
// (fractions allowed, d2 may be +Inf) with noncentrality ncp exceeds f: the power of an F
// test, where ncp is the sum of squares of the true effects over the variance. Sum of F
// tails over Poisson weights of mean ncp/2 (Johnson, Kotz & Balakrishnan 1995, 30.10).
func NoncentralFTail(f, d1, d2, ncp float64) float64 {
	if f > 0 && d1 >= 1 && d2 > 0 && !math.IsInf(ncp, 1) && sure(math.Sqrt(f*d1), d2, math.Sqrt(ncp)) {
		return 1 // one of the squares alone, (Z + √ncp)², is over f·d1·s²
	}
	return poissonMixed(f, d1, d2, ncp, func(j float64) float64 { return FTail(f*d1/(d1+2*j), d1+2*j, d2) })
}

// NoncentralF is the chance that it does not exceed f, with its own digits where small.
func NoncentralF(f, d1, d2, ncp float64) float64 {
	return poissonMixed(f, d1, d2, ncp, func(j float64) float64 {
		d := d1 + 2*j
		if math.IsInf(d2, 1) {
			return 1 - ChiSquareTail(f*d1, d)
		}
		return FTail(d/(f*d1), d2, d) // 1/F is an F with its degrees of freedom turned round
	})
}

// poissonMixed is the sum of part(j) over Poisson weights of mean ncp/2, outwards from the
// largest term: weights rise to the mean and fall after it, and part rises or falls in j
// throughout, so the terms have one peak, found by climbing.
func poissonMixed(f, d1, d2, ncp float64, part func(j float64) float64) float64 {
	switch {
	case math.IsNaN(f) || !(d1 > 0) || !(d2 > 0) || math.IsInf(d1, 1) || !(ncp >= 0) || math.IsInf(ncp, 1):
		return math.NaN()
	case f <= 0 || math.IsInf(f, 1) || ncp == 0:
		return part(0)
	}
	half := ncp / 2
	term := func(j float64) float64 {
		if j < 0 {
			return 0
		}
		return poisson(j, half) * part(j)
	}
	peak := math.Floor(half)
	top := term(peak)
	for _, direction := range []float64{1, -1} {
		for next := term(peak + direction); next > top; next = term(peak + direction) {
			peak, top = peak+direction, next
		}
	}
	sum := top
	for _, direction := range []float64{1, -1} {
		for j := peak + direction; j >= 0; j += direction {
			t := term(j)
			if sum += t; t <= leastPoisson*sum {
				break
			}
		}
	}
	return math.Min(sum, 1)
}

// poisson is the chance of j from a Poisson distribution, by Stirling's formula about its
// mean (Loader 2000, from memory), so that large means cost no digits.
func poisson(j, mean float64) float64 {
	if j == 0 {
		return math.Exp(-mean)
	}
	u := (mean - j) / j
	exponent := 0.0
	if math.Abs(u) < 0.4 {
		exponent = j * log1pLess(u)
	} else {
		exponent = j*math.Log(mean/j) - (mean - j)
	}
	return math.Exp(exponent-stirling(j)) / math.Sqrt(2*math.Pi*j)
}
