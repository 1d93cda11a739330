package main

import (
	"fmt"

	"breakbook/cmd/measure/gates"
	"breakbook/cmd/measure/typed"
	"breakbook/models/verdict"
	"breakbook/repl/page"
)

// question is one thing the demo asks of its main series. Its commands come after those
// of the questions before it, in the same book.
type question struct {
	about    string
	commands string
	should   string
	possible []string // every answer there can be, in the order shown
	read     func(e page.Entry, truth gates.Truth) (string, error)
}

// The words for what a range may do.
const (
	holdsTruth = "leaves out zero and holds the truth"
	missTruth  = "leaves out zero, misses the truth"
	holdsZero  = "holds zero"
	neither    = "neither range leaves out zero"
	some       = "one or both leave out zero"
)

var (
	differs    = verdict.Differs.Key()
	noWorth    = verdict.NoDifferenceWorth.Key()
	lessWorth  = verdict.DiffersLessThanWorth.Key()
	cannotTell = verdict.CannotTell.Key()
	verdicts   = []string{differs, lessWorth, noWorth, cannotTell}
)

var questions = []question{
	{"density (the covariate)", "fit load on density, pins, thickness, place as main",
		holdsTruth, []string{holdsTruth, missTruth, holdsZero},
		func(e page.Entry, truth gates.Truth) (string, error) {
			low, high, err := rangeOf(e, "density")
			switch {
			case err != nil:
				return "", err
			case low <= 0 && high >= 0:
				return holdsZero, nil
			case low <= truth.DensitySlope && truth.DensitySlope <= high:
				return holdsTruth, nil
			}
			return missTruth, nil
		}},
	{"pair against none (strong)", "compare pins of main", differs, verdicts, answerFor("none", "pair")},
	{"single against none (middling)", "compare pins of main", differs, verdicts, answerFor("none", "single")},
	{"offset against pair (too small)", "compare pins of main", cannotTell, verdicts, answerFor("pair", "offset")},
	{"44 mm against 34 mm (no effect)", "compare thickness of main", noWorth, verdicts, answerFor("34", "44")},
	{"store against shed, on its own", "compare place of main", differs, verdicts, answerFor("shed", "store")},
	{"place and cure temperature in one fit", "fit load on density, pins, place, cure_temp",
		neither, []string{neither, some},
		func(e page.Entry, _ gates.Truth) (string, error) {
			for _, term := range []string{"place: store", "cure_temp"} {
				low, high, err := rangeOf(e, term)
				if err != nil {
					return "", err
				}
				if low > 0 || high < 0 {
					return some, nil
				}
			}
			return neither, nil
		}},
}

// answerFor reads the answer about two levels off a comparison.
func answerFor(first, second string) func(page.Entry, gates.Truth) (string, error) {
	return func(e page.Entry, _ gates.Truth) (string, error) {
		rows, err := typed.Rows(e, "differences", "first", "second", "answer")
		if err != nil {
			return "", err
		}
		for _, r := range rows {
			if r[0].Text == first && r[1].Text == second {
				return r[2].Text, nil
			}
		}
		return "", fmt.Errorf("no difference between %s and %s", first, second)
	}
}

// rangeOf reads the interval of a term's effect off a fit.
func rangeOf(e page.Entry, term string) (low, high float64, err error) {
	rows, err := typed.Rows(e, "terms", "term", "low", "high")
	if err != nil {
		return 0, 0, err
	}
	for _, r := range rows {
		if r[0].Text == term && r[1].Kind == page.Number && r[2].Kind == page.Number {
			return r[1].Num, r[2].Num, nil
		}
	}
	return 0, 0, fmt.Errorf("no range for %s", term)
}
