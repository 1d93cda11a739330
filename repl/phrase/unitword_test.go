package phrase

import (
	"slices"
	"testing"

	"breakbook/frames/units"
)

// Every name stands for a unit that can be typed, and is no unit itself.
func TestUnitWordsNameUnits(t *testing.T) {
	for _, w := range unitWords {
		if _, ok := units.Parse(w.unit); !ok {
			t.Errorf("%s stands for %s, which is no unit", w.word, w.unit)
		}
		if slices.Contains(units.Known(), w.word) {
			t.Errorf("%s is a unit that is known", w.word)
		}
	}
}

func TestUnitsAreMeantByTheirNames(t *testing.T) {
	for typed, want := range map[string]string{"newton": "N", "newtn": "N", "Newtons": "N", "kilonewton": "kN", "milimeter": "mm",
		"kgg": "kgf", "celcius": "degC", "pounds": "lb"} {
		if got := unitHint(typed); got != "did you mean "+want+"?" {
			t.Errorf("%s: %s, want %s", typed, got, want)
		}
	}
}
