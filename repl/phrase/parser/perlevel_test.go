package parser

import (
	"errors"
	"testing"

	"breakbook/repl/phrase"
)

func TestNumbersOfEachLevel(t *testing.T) {
	for line, want := range map[string]string{
		"plan load by pins with 8 none, 12 pair":               "plan load by pins with 8 none, 12 pair",
		"plan load by pins with 8 none, 12 pair, of fit2":      "plan load by pins of fit2 with 8 none, 12 pair",
		"plan load by pins with 8, of fit2":                    "plan load by pins of fit2 with 8",
		"plan load by thickness with 8 34 mm, 12 44":           "plan load by thickness with 8 34, 12 44",
		"plan load by pins costing 4 none, 6.5 pair":           "plan load by pins costing 4 none, 6.5 pair",
		"plan load by pins costing 4 minutes none, 6 min pair": "plan load by pins costing 4 min none, 6 min pair",
		"plan load by pins costing 4 Euros none, 6 euros pair": "plan load by pins costing 4 euros none, 6 euros pair",
		"plan load by pins costing 4 none, 6 pair detecting 5": "plan load by pins detecting 5 costing 4 none, 6 pair",
		"compare load by pins costing 4 none, 6 pair worth 5 N per minute": "compare load by pins costing 4 none, " +
			"6 pair worth 5 N per min",
		"compare pins of fit2 costing 4 hours none, 6 hours pair worth 5% per hour": "compare pins of fit2 costing " +
			"4 h none, 6 h pair worth 5% per h",
	} {
		c, err := Parse(phrase.Piece{Text: line, At: 1}, newBench())
		if err != nil || c.String() != want {
			t.Errorf("%s: %v, want %s (%v)", line, c, want, err)
		}
	}
}

func TestNumbersOfEachLevelGoneWrong(t *testing.T) {
	for line, want := range map[string]struct {
		code string
		at   int
	}{
		"plan load by pins with 8 none, 12 par":             {"unknown-level", 35},
		"plan load by pins with 8 none, 12":                 {"expected-level", 34},
		"plan load by pins with 8 none, 12 none":            {"repeated", 35},
		"plan load by pins with none 8, pair 12":            {"expected-number", 24},
		"plan load by pins costing none 8, pair 12":         {"expected-number", 27},
		"plan load by pins costing 0 none, 6 pair":          {"out-of-range", 27},
		"plan load by pins costing 4 min none, 6 euro pair": {"two-units", 41},
		"plan load by pins costing 4 none, 6 min pair":      {"two-units", 37},
		"compare load by pins worth 5 N per":                {"expected-unit", 35},
	} {
		_, err := Parse(phrase.Piece{Text: line, At: 1}, newBench())
		var e *phrase.Error
		if !errors.As(err, &e) || string(e.Code) != want.code || e.At != want.at {
			t.Errorf("%s: %+v, want %s at %d", line, err, want.code, want.at)
		}
	}
}
