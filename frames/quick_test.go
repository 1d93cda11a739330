package frames

import (
	"testing"

	"pgregory.net/rapid"
)

// quick must give what strconv gives wherever it gives anything.
func TestQuickNumbersAreExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.StringMatching(`-?[0-9]{0,17}(\.[0-9]{0,17})?`).Draw(t, "number")
		x, ok := quick(s, '.')
		if !ok {
			return
		}
		if want, n, f := scanNumber(s, '.'); n != len(s) || f != plain || want != x {
			t.Fatalf("%q is %v by quick, %v (%d bytes, form %d) by scanNumber", s, x, want, n, f)
		}
	})
}
