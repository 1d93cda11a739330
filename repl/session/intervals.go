package session

import (
	"strings"

	"breakbook/models/dist"
	"breakbook/models/linear"
	"breakbook/repl/phrase"
)

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

// SpelledAll are names as they can be typed.
func SpelledAll(names []string) []string {
	out := make([]string, len(names))
	for i, name := range names {
		out[i] = phrase.Spelled(name)
	}
	return out
}
