package session

import (
	"math"
	"strings"

	"breakbook/models/dist"
	"breakbook/models/linear"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
)

// MinMax is the least and the largest of the values that exist.
func MinMax(v []float64) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, x := range v {
		if x == x {
			lo, hi = min(lo, x), max(hi, x)
		}
	}
	return lo, hi
}

// Seen is a value within a range, to a thousandth of the range or finer: what a conversion
// made of a round number has digits without end.
func Seen(x, lo, hi float64, unit string) page.Num {
	if d := 3 - math.Floor(math.Log10(hi-lo)); d >= 0 && d < 300 {
		x = math.Round(x*math.Pow(10, d)) / math.Pow(10, d)
	}
	return page.Num{Value: x, Unit: unit, Style: page.Exact}
}

// IntervalOf is the interval of an estimate by its t distribution.
func IntervalOf(e linear.Estimate, conf float64) (lo, hi float64) {
	half := dist.TQuantile(0.5+conf/2, e.DF) * e.SE
	return e.Value - half, e.Value + half
}

// Listed joins words with commas.
func Listed(words []string) string { return strings.Join(words, ", ") }

// And joins words with commas, the last by "and".
func And(words []string) string {
	if len(words) < 2 {
		return Listed(words)
	}
	last := len(words) - 1
	return Listed(words[:last]) + " and " + words[last]
}

// ModeName is the mode's level, or its levels joined by "or".
func ModeName(m phrase.Is) string {
	return strings.Join(NamedLevels(m), " or ")
}
