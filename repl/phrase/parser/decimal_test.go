package parser

import (
	"errors"
	"strings"
	"testing"

	"breakbook/repl/phrase"
)

func TestADecimalCommaIsNamed(t *testing.T) {
	k := newBench()
	const mark = " is not one number: a decimal is typed with a point"
	for _, c := range []struct {
		line, message string
		at            int
		offered       string // "": the hint is no line
	}{
		{"predict fit1 given pins pair, density 6,5", "6,5" + mark, 39, "predict fit1 given pins pair, density 6.5"},
		{"predict fit1 given density 0,64 g/cm3", "0,64" + mark, 28, "predict fit1 given density 0.64 g/cm3"},
		{"correct load of G54 to 402,5", "402,5" + mark, 24, "correct load of G54 to 402.5"},
		{"compare load with 350,5 kgf", "350,5" + mark, 19, "compare load with 350.5 kgf"},
		{"confidence 97,5%", "97,5" + mark, 12, "confidence 97.5%"},
		{"worth 12,5 kgf", "12,5" + mark, 7, "worth 12.5 kgf"},
		{"work out m = load * 1,5", "1,5" + mark, 21, "work out m = load * 1.5"},
		{`work out "ü" = load/1,5`, "1,5" + mark, 21, `work out "ü" = load/1.5`},
		{`set aside for load > 402,5 because "0,5 off"`, "402,5" + mark, 22,
			`set aside for load > 402.5 because "0,5 off"`},
		{"average load by pins worth 2,5 kgf confidence 97,5%", "2,5" + mark, 28,
			"average load by pins worth 2.5 kgf confidence 97.5%"},
		{"worth 1,234 kgf", "1,234" + mark + ", and thousands without a mark", 7, ""},
		{"worth 0,234 kgf", "0,234" + mark, 7, "worth 0.234 kgf"},
		{"worth 2,5 kgf to", "2,5" + mark, 7, ""},
		// with a point it would fail as early, or it is no decimal
		{"set aside row 3,5 because x", `text in quotation marks is needed here, not "x"`, 27, ""},
		{"show caution 1,5", `"5" does not belong here`, 16, ""},
		{"worth 1,5,2", `"5" does not belong here`, 9, ""},
		{"worth 1, 5", `"5" does not belong here`, 10, ""},
	} {
		_, err := ParseLine(c.line, k)
		var e *phrase.Error
		if !errors.As(err, &e) {
			t.Errorf("%s: no *Error but %v", c.line, err)
			continue
		}
		if got := phrase.Tried(e.Hint); e.Message != c.message || e.At != c.at || got != c.offered {
			t.Errorf("%s\n  got  %+v\n  want %s at %d, offered %q", c.line, *e, c.message, c.at, c.offered)
		}
		if c.offered == "" {
			continue
		}
		if _, err := ParseLine(c.offered, k); err != nil {
			t.Errorf("%s: %v", c.offered, err)
		}
	}
	if _, err := ParseLine("worth 1,234 kgf", k); !strings.Contains(err.(*phrase.Error).Hint, "type 1.234 or 1234") {
		t.Errorf("thousands: %+v", err)
	}
}

// A list of numbers is taken as it stands, unless it does not go upwards and with points does.
func TestAListOfCutsWithDecimalCommas(t *testing.T) {
	k := newBench()
	for line, want := range map[string]string{
		"band density at 600,5, 650":      "band density at 600.5, 650",
		"band density at 500,5, 600,5":    "band density at 500.5, 600.5",
		"band density at 600,5":           "band density at 600.5",
		"band density at 600,550":         "", // thousands
		"band density at 600,5, 550":      "", // 600.5 is above 550
		"band density at 600, 500":        "",
		"band density at 600, 500, 700,5": "",
	} {
		d, found := UpwardWithPoints(line, k)
		if found != (want != "") || found && d.Line != want {
			t.Errorf("%s: %v %q, want %q", line, found, d.Line, want)
		}
	}
}
