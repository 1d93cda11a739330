package notation

import (
	"math"
	"strconv"
	"testing"

	"pgregory.net/rapid"
)

// TestNumbersAreReadAsWritten compares Number with strconv on every look of a number.
func TestNumbersAreReadAsWritten(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.StringMatching(`[-+]?[0-9]{0,24}(\.[0-9]{0,24})?([eE][-+]?[0-9]{1,3})?`).Draw(t, "number")
		want, err := strconv.ParseFloat(s, 64)
		x, n, _ := Number(s, '.')
		if err != nil {
			if n == len(s) && n > 0 {
				t.Fatalf("%q read as %v, strconv says %v", s, x, err)
			}
			return
		}
		if n != len(s) || math.Float64bits(x) != math.Float64bits(want) {
			t.Fatalf("%q read as %v (%d of %d bytes), want %v", s, x, n, len(s), want)
		}
	})
}

// Quick must give what strconv gives wherever it gives anything.
func TestQuickNumbersAreExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.StringMatching(`-?[0-9]{0,17}(\.[0-9]{0,17})?`).Draw(t, "number")
		x, ok := Quick(s, '.')
		if !ok {
			return
		}
		if want, n, f := Number(s, '.'); n != len(s) || f != Plain || want != x {
			t.Fatalf("%q is %v by Quick, %v (%d bytes, form %d) by Number", s, x, want, n, f)
		}
	})
}

func TestAListOfNumbersIsNoNumber(t *testing.T) {
	for cell, want := range map[string]bool{"199.31 199.53 200.19": true, "1,5; 2,5; 3": true, "-1 2e3 4": true,
		"148 154": false, "12.5": false, "about 3 or 4": false, "12 13 x": false, "": false, "3 x 4": false} {
		if got := List(cell); got != want {
			t.Errorf("%q: %v", cell, got)
		}
	}
}
