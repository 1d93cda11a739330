package render

import (
	"math"
	"strconv"
	"strings"

	"breakbook/repl/page"
)

// smallestP is the probability below which only "less than" is said.
const smallestP = 0.0001

// fixed writes x with d decimals and a true minus sign; what rounds to zero has no sign.
func fixed(x float64, d int) string {
	s := strconv.FormatFloat(x, 'f', max(d, 0), 64)
	if rest, negative := strings.CutPrefix(s, "-"); negative {
		if strings.Trim(rest, "0.") == "" {
			return rest
		}
		return "−" + rest
	}
	return s
}

// exponent is the power of ten of x's first digit once x is rounded to sig digits.
func exponent(x float64, sig int) int {
	_, e, _ := strings.Cut(strconv.FormatFloat(x, 'e', max(sig-1, 0), 64), "e")
	n, _ := strconv.Atoi(e) // FormatFloat always writes a number there
	return n
}

// decimalsFor is how many decimals show sig significant digits of x; never below
// zero: the whole part of a number always stands in full.
func decimalsFor(x float64, sig int) int {
	if x == 0 {
		return 0
	}
	return max(0, sig-1-exponent(x, sig))
}

// exactDecimals is how many decimals x needs to stand exactly, taking fifteen
// significant digits as exact: 18 needs none, 0.25 two, 1/3 fifteen.
func exactDecimals(x float64) int {
	if x == 0 {
		return 0
	}
	mantissa, e, _ := strings.Cut(strconv.FormatFloat(math.Abs(x), 'e', 14, 64), "e")
	n, _ := strconv.Atoi(e)
	digits := len(strings.TrimRight(strings.Replace(mantissa, ".", "", 1), "0"))
	return max(0, digits-1-n)
}

// outsize reports a number better shown with a power of ten.
func outsize(x float64) bool {
	a := math.Abs(x)
	return a != 0 && (a < 1e-4 || a >= 1e15)
}

// power writes x as a short number times a power of ten: 1.23 × 10⁻⁷.
func power(x float64, sig int) string {
	mantissa, _, _ := strings.Cut(strconv.FormatFloat(x, 'e', sig-1, 64), "e")
	if strings.Contains(mantissa, ".") {
		mantissa = strings.TrimRight(strings.TrimRight(mantissa, "0"), ".")
	}
	mantissa = strings.Replace(mantissa, "-", "−", 1)
	return mantissa + hardSpace + "×" + hardSpace + "10" + raised.Replace(strconv.Itoa(exponent(x, sig)))
}

// traceOf is how much of what stands beside it a number is at most that only the rounding of its arithmetic keeps off
// zero.
const traceOf = 1e-9

// vanishes reports whether a number that is shown so looks like zero.
func vanishes(shown string) bool { return strings.Trim(shown, "−0.") == "" }

// measured shows a quantity with o's digits, less where its resolution supports
// less: two significant digits of the resolution are the last that show.
func measured(x, resolution float64, o Options) string {
	sig := o.digits()
	known := resolution > 0 && !math.IsInf(resolution, 0)
	if known && math.Abs(x) <= traceOf*resolution {
		x = 0
	}
	if scale := math.Max(math.Abs(x), resolution); outsize(x) && (!known || outsize(scale)) {
		return power(x, sig)
	}
	d := decimalsFor(x, sig)
	if !known {
		return fixed(x, min(d, exactDecimals(x)))
	}
	if x == 0 {
		d = sig
	}
	return fixed(x, min(d, decimalsFor(resolution, 2)))
}

// end shows an end of an interval, with as many digits more as it takes not to look like zero where it is none.
func end(n page.Num, o Options) string {
	for finer := n.Resolution; ; finer /= 10 {
		s := number(n.Value, n.Unit, n.Style, finer, o)
		digits, _, _ := strings.Cut(s, hardSpace)
		if !vanishes(digits) || math.Abs(n.Value) <= traceOf*n.Resolution {
			return s
		}
	}
}

// percentDigits is the significant digits a percentage shows: two at the default.
func percentDigits(o Options) int { return max(1, o.digits()-2) }

// leastShare is the percentage under which a share is only said to be less.
const leastShare = 0.01

// percentage shows p, already in percent, without the sign. A share between 0
// and 1 (whole) keeps enough decimals not to look like all or nothing.
func percentage(p, resolution float64, whole bool, o Options) string {
	if whole && p > 0 && p < leastShare {
		return "<" + hardSpace + "0.01"
	}
	if whole && p > 99.99 && p < 100 {
		return ">" + hardSpace + "99.99"
	}
	near := p
	if whole && p > 50 && p < 100 {
		near = 100 - p
	}
	d := min(decimalsFor(near, percentDigits(o)), max(2, percentDigits(o)))
	if resolution > 0 {
		return fixed(p, min(d, decimalsFor(resolution, 2)))
	}
	if exact := exactDecimals(p); exact <= 1 {
		d = exact
	}
	return fixed(p, min(d, exactDecimals(p)))
}

// chance shows a probability without its "p": 0.031, 0.52, < 0.0001, > 0.99. It is never shown as 0.
func chance(p float64, o Options) string {
	switch {
	case math.IsNaN(p):
		return missing
	case p < smallestP:
		return "<" + hardSpace + "0.0001"
	case p >= 1:
		return "1"
	case p >= 0.995:
		return ">" + hardSpace + "0.99"
	}
	return fixed(p, max(2, decimalsFor(p, percentDigits(o))))
}

// number shows one number in its style, with its unit or percent sign.
func number(x float64, unit string, style page.Style, resolution float64, o Options) string {
	switch {
	case math.IsNaN(x):
		return "not known"
	case math.IsInf(x, 0):
		return "without limit"
	}
	switch style {
	case page.Fraction:
		return withUnit(percentage(100*x, 100*resolution, true, o), "percent")
	case page.Percent:
		return withUnit(percentage(x, resolution, false, o), "percent")
	case page.P:
		return chance(x, o)
	case page.Exact:
		return withUnit(exactNumber(x, resolution), unit)
	case page.Count:
		if x == math.Trunc(x) {
			return withUnit(fixed(x, 0), unit)
		}
	case page.DF:
		return fixed(x, min(1, exactDecimals(x)))
	case page.Ratio, page.Quotient:
		return withUnit(ratio(x, o), unit)
	}
	return withUnit(measured(x, resolution, o), unit)
}

// exactNumber shows every digit of x that its step supports; 0: all it has.
func exactNumber(x, step float64) string {
	v := page.Cell{Num: x, Step: step}
	if step > 0 {
		return exactText(v, supported(v))
	}
	return exact(x)
}

// exact shows every digit x has, up to fifteen.
func exact(x float64) string {
	if outsize(x) && exactDecimals(x) > 15 || math.Abs(x) >= 1e15 {
		return power(x, 15)
	}
	return fixed(x, exactDecimals(x))
}

// ratioDigits is the significant digits of a test statistic: three at the default.
func ratioDigits(o Options) int { return max(1, o.digits()-1) }

func ratio(x float64, o Options) string {
	if outsize(x) {
		return power(x, ratioDigits(o))
	}
	return fixed(x, decimalsFor(x, ratioDigits(o)))
}
