package parser

import (
	"testing"

	"breakbook/repl/phrase"
)

// Every result that can have a name is told in words: predict1 is a prediction.
func TestResultsAreNamedInWords(t *testing.T) {
	want := map[string]string{
		"adjusted": "a table of adjusted means", "agree": "a comparison of series", "anova": "an analysis of variance",
		"characteristic": "a table of characteristic values", "check": "a check", "compare": "a comparison",
		"count": "a count", "drove": "an answer to what drove it", "fit": "a fit", "judge": "a judgement of a plan",
		"modes": "a table of ways of breaking", "odds": "a fit of odds", "plan": "a plan", "predict": "a prediction",
		"rivals": "a comparison of fits", "same": "a test of sameness", "shares": "a table of shares",
		"strength": "a fit of strength",
	}
	for _, e := range phrase.Table {
		if got := a(e.Kind); e.Result != "" && got != want[e.Kind] {
			t.Errorf("%s is told as %s, want %s", e.Kind, got, want[e.Kind])
		}
	}
}
