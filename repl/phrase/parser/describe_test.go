package parser

import (
	"testing"

	"breakbook/repl/phrase"
)

func TestTailoredExamplesCanBeTyped(t *testing.T) {
	k := newBench()
	for _, d := range Describe(phrase.Standard(), k) {
		if _, err := Parse(phrase.Piece{Text: d.Tailored, At: 1}, k); err != nil {
			t.Errorf("example %q: %v", d.Tailored, err)
		}
	}
}
