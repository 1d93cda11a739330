package parser

import (
	"testing"

	"breakbook/repl/phrase"
)

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
	for line, want := range map[string]string{"unit load is pounds": "lb", "unit load is Newtons": "N",
		"unit load is N/mm^2": "N/mm2", "worth 5 kg/m^3": "kg/m3", "worth 5 m^-3": "1/m3",
		"worth 200 pounds": "lb", "worth 5 kilonewton": "kN",
		"worth 5 kilogramforce": "kgf", "worth 5 poundforce": "lbf", "chalk point 13 centigrade": "degC"} {
		c, err := Parse(phrase.Piece{Text: line, At: 1}, newBench())
		if err != nil {
			t.Errorf("%s: %v", line, err)
			continue
		}
		got := ""
		switch cmd := c.Do.(type) {
		case *phrase.SetUnit:
			got = cmd.Unit.Unit
		case *phrase.SetChalkPoint:
			got = cmd.Amount.Unit
		case *phrase.SetWorth:
			got = cmd.Amount.Unit
		}
		if got != want {
			t.Errorf("%s: %s, want %s", line, got, want)
		}
	}
}
