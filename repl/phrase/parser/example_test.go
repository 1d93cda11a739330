package parser

import (
	"errors"
	"testing"

	"breakbook/repl/phrase"
)

// someFits is the series of the examples with fits of its own.
type someFits struct {
	exampleSeries
	names []string
}

func (s someFits) Results() (all []phrase.KnownResult) {
	for _, name := range s.names {
		all = append(all, phrase.KnownResult{Name: name, Kind: "fit", Series: "gates",
			Columns: []string{"density", "pins"}})
	}
	return all
}

// An example with two fits takes the latest two there are, and stays as it is where there are fewer.
func TestExampleNamesNoFitTwice(t *testing.T) {
	for _, c := range []struct {
		names []string
		want  string
	}{
		{nil, "for example rivals fit1, fit2"},
		{[]string{"plain"}, "for example rivals fit1, fit2"},
		{[]string{"plain", "curved"}, "for example rivals plain, curved"},
		{[]string{"old", "plain", "curved"}, "for example rivals plain, curved"},
	} {
		_, err := Parse(phrase.Piece{Text: "rivals", At: 1}, someFits{names: c.names})
		if e, ok := errors.AsType[*phrase.Error](err); !ok || e.Hint != c.want {
			t.Errorf("%v: %q, want %q", c.names, e.Hint, c.want)
		}
	}
}
