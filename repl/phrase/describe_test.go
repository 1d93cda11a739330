package phrase

import "testing"

func TestTailoredExamplesCanBeTyped(t *testing.T) {
	k := newBench()
	for _, d := range Standard().Describe(k) {
		if _, err := Parse(Piece{Text: d.Tailored, At: 1}, k); err != nil {
			t.Errorf("example %q: %v", d.Tailored, err)
		}
	}
}
