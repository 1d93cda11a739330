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
	for typed, want := range map[string]string{"newtn": "N", "kilonewtn": "kN", "milimeter": "mm",
		"kgg": "kgf", "celcius": "degC", "poundz": "lb"} {
		if got := unitHint(typed); got != "did you mean "+want+"?" {
			t.Errorf("%s: %s, want %s", typed, got, want)
		}
	}
}

// A unit's name in full is typed for the unit.
func TestAUnitMayBeTypedByItsName(t *testing.T) {
	for line, want := range map[string]string{"unit load is pounds": "lb", "unit load is Newtons": "N", "worth 200 pounds": "lb", "worth 5 kilonewton": "kN"} {
		c, err := Parse(Piece{Text: line, At: 1}, newBench())
		if err != nil {
			t.Errorf("%s: %v", line, err)
			continue
		}
		got := ""
		switch cmd := c.Do.(type) {
		case *SetUnit:
			got = cmd.Unit.Unit
		case *SetWorth:
			got = cmd.Amount.Unit
		}
		if got != want {
			t.Errorf("%s: %s, want %s", line, got, want)
		}
	}
}
