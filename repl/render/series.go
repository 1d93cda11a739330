package render

import (
	"math"
	"strings"

	"breakbook/models/lists"
	"breakbook/repl/page"
)

// format shows the numbers of one table column with common decimals.
type format struct {
	style    page.Style
	sig      int
	decimals int
	o        Options
}

// common chooses the format that suits every number of a column: enough decimals
// for the largest to show its digits and the smallest two of its own, but at most
// three more than the largest asks for, and none that all of them leave at zero.
func common(xs []float64, style page.Style, o Options) format {
	f := format{style: style, o: o, sig: o.digits()}
	switch style {
	case page.P:
		f.decimals = 3
		for _, x := range xs {
			if x >= smallestP && x < 0.001 {
				f.decimals = 4
			}
		}
		f.decimals += max(0, percentDigits(o)-2)
		return f
	case page.Fraction, page.Percent:
		f.sig = percentDigits(o)
		xs = scaled(xs, f.scale())
	case page.Ratio, page.Quotient:
		f.sig = ratioDigits(o)
	}
	f.decimals = f.commonDecimals(xs)
	return f
}

func (f format) scale() float64 {
	if f.style == page.Fraction {
		return 100
	}
	return 1
}

func (f format) commonDecimals(xs []float64) int {
	largest, smallest, exactly := 0.0, math.Inf(1), 0
	for _, x := range xs {
		largest = math.Max(largest, math.Abs(x))
	}
	for _, x := range xs {
		a := math.Abs(x)
		if a <= traceOf*largest || outsize(x) {
			continue // a trace of rounding, or a number shown with a power of ten
		}
		smallest = math.Min(smallest, a)
		exactly = max(exactly, exactDecimals(x))
	}
	if math.IsInf(smallest, 1) {
		return 0
	}
	d := decimalsFor(largest, f.sig)
	d = max(d, min(decimalsFor(smallest, min(2, f.sig)), d+3))
	switch f.style {
	case page.DF:
		return min(exactly, 1)
	case page.Fraction, page.Percent:
		if exactly > 1 {
			exactly = min(d, 2+max(0, f.sig-2))
		}
		return exactly
	case page.Ratio, page.Quotient:
		least := decimalsFor(smallest, f.sig)
		return max(decimalsFor(largest, f.sig), min(least, 2+max(0, f.sig-ratioDigits(Options{}))))
	}
	return min(d, exactly)
}

// text shows one number of the column.
func (f format) text(x float64) string {
	if f.style == page.P {
		if s := chance(x, f.o); strings.HasPrefix(s, "<") || strings.HasPrefix(s, ">") {
			return s
		}
		return fixed(x, f.decimals)
	}
	x *= f.scale()
	s := fixed(x, f.decimals)
	vanished := x != 0 && vanishes(s)
	if f.style == page.Fraction && vanished {
		return percentage(x, 0, true, f.o)
	}
	if vanished && f.style == page.Quotient {
		return ratio(x, Options{Digits: 2})
	}
	if vanished && f.style != page.Percent && f.style != page.DF && f.style != page.Ratio || math.Abs(x) >= 1e15 {
		return power(x, f.sig)
	}
	return s
}

func scaled(xs []float64, by float64) []float64 {
	return lists.Mapped(xs, func(x float64) float64 { return by * x })
}

// alignPoints pads numbers behind their last digit so that, set flush right,
// their decimal points stand under each other.
func alignPoints(texts []string) {
	behind := func(s string) int {
		if strings.Contains(s, "×") || s == missing || s == "" {
			return -1
		}
		_, fraction, found := strings.Cut(s, ".")
		if !found {
			return 0
		}
		return len(fraction) + 1
	}
	most := 0
	for _, s := range texts {
		most = max(most, behind(s))
	}
	for i, s := range texts {
		if n := behind(s); n >= 0 {
			texts[i] = s + strings.Repeat(padding, most-n)
		}
	}
}
