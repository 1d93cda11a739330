package parser

import (
	"errors"
	"strings"
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

// What is unknown is led to by all the everyday words that a line starts with, and never to a command that takes
// nothing where more was typed; a result that no command keeps, to none.
func TestHintsAnswerWhatWasTyped(t *testing.T) {
	k := noResults{newBench()}
	for typed, want := range map[string]string{
		"leave out S3": "type set aside for it, for example ",
		"leave S3":     "",
		"show plan1":   "Try: plan load by ",
		"show fit1":    "Try: fit load on ",
		"show allot1":  "",
	} {
		_, err := Parse(phrase.Piece{Text: typed, At: 1}, k)
		var e *phrase.Error
		if !errors.As(err, &e) || !strings.HasPrefix(e.Hint, want) || want == "" && strings.Contains(e.Hint, "quit") ||
			want == "" && strings.HasPrefix(e.Hint, "Try: ") {
			t.Errorf("%s: %+v, want the hint %q", typed, e, want)
		}
	}
}

// noResults is a session without results.
type noResults struct{ phrase.Known }

func (noResults) Results() []phrase.KnownResult { return nil }
