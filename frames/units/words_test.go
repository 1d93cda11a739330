package units

import (
	"slices"
	"testing"
)

// TestWords holds every name in full to a unit that can be typed, and to being no unit of the list.
func TestWords(t *testing.T) {
	words := Words()
	for _, w := range words {
		if u, ok := Word(w); !ok || u.None() {
			t.Errorf("%s names no unit", w)
		}
		if slices.Contains(known, w) {
			t.Errorf("%s is a unit of the list", w)
		}
	}
	for word, want := range map[string]string{"kilogram-force": "kgf", "Pounds-Force": "lbf", "pound-force": "lbf"} {
		if u, _ := Parse(word); u.String() != want {
			t.Errorf("%s is %v, want %s", word, u, want)
		}
	}
	for word, want := range map[string]string{"newtons": "N", "kilogramforce": "kgf", "poundforce": "lbf",
		"centigrade": "degC",
		"millimeter": "mm", "inches": "inch", "megapascal": "MPa", "pascal": "N/m2"} {
		if u, _ := Word(word); !slices.Contains(words, word) || u.String() != want {
			t.Errorf("%s is %v, want %s; listed: %v", word, u, want, words)
		}
	}
}
