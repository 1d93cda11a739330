package parser

import (
	"errors"
	"testing"

	"breakbook/repl/page"
	"breakbook/repl/phrase"
)

func TestErrorsNamePlaceAndWayOut(t *testing.T) {
	none := bench{}
	noFit := newBench().with()
	full := newBench()
	for _, c := range []struct {
		k             phrase.Known
		line          string
		code, message string
		at            int
		hint          string
	}{
		{full, "fti load on pins", "unknown-command", `there is no command "fti"`, 1,
			"type help to see what can be typed"},
		{full, "zzzz", "unknown-command", `there is no command "zzzz"`, 1, "type help to see what can be typed"},
		{full, "= load", "unknown-command", `there is no command "="`, 1, "type help to see what can be typed"},
		{full, "fit lod on density", "unknown-column", `there is no column "lod" in gates`, 5, "did you mean load?"},
		{full, "fit laod on density", "unknown-column", `there is no column "laod" in gates`, 5, "did you mean load?"},
		{full, "fit load on specfic gravty", "unknown-column", `there is no column "specfic gravty" in gates`, 13,
			"did you mean specific_gravity?"},
		{full, "fit load on density, qqq", "unknown-column", `there is no column "qqq" in gates`, 22,
			"the columns are load, density, specific_gravity, specific, moisture, pins, thickness, glue and others"},
		{full, "compare lod by pins", "unknown-column", `there is no column "lod" in gates`, 9, "did you mean load?"},
		{full, "average lod by dowels from old-2024", "unknown-column", `there is no column "lod" in old-2024`, 9,
			"did you mean load?"},
		{full, "average größe by pins from old-2024", "unknown-column", `there is no column "pins" in old-2024`, 18,
			"the columns are break_load, größe, dowels"},
		{full, "compare load by pins against nne", "unknown-level", `pins has no level "nne"`, 30,
			"did you mean none?"},
		{full, `compare load by pins against "x y"`, "unknown-level", `pins has no level "x y"`, 30,
			"its levels are none, single, pair, offset"},
		{full, "compare load by thickness against 34 m", "unknown-level", `thickness has no level "34 m"`, 35,
			"its levels are 34, 44"},
		{full, "compare load by thickness against 34 kg", "wrong-dimension",
			"thickness is in mm, a unit of length; kg is a unit of mass", 35, ""},
		{full, "unit load is kgg", "unknown-unit", `there is no unit "kgg"`, 14, "did you mean kgf?"},
		{full, "unit load is in", "unknown-unit", `there is no unit "in"`, 14, "did you mean inch?"},
		{full, "rows for density > 600 kgm3", "unknown-unit", `there is no unit "kgm3"`, 24, "did you mean kg/m3?"},
		{full, "rows for density > 600 mm", "wrong-dimension",
			"density is in kg/m3, a unit of density; mm is a unit of length", 20, ""},
		{full, "rows for specific gravity > 600 mm", "wrong-dimension",
			"specific_gravity has no unit, so mm cannot be compared with it", 29, "Try: unit specific_gravity is mm"},
		{full, "rows for density is pair", "expected-number", `a number for density is needed here, not "pair"`, 21,
			""},
		{full, "rows for pins > 3", "wrong-kind", "pins is a category column; a number column is needed here", 10,
			"number columns are load, density, specific_gravity, specific, moisture"},
		{full, "rows for thickness > 40 mm", "wrong-kind", "thickness is a category column; a number column is " +
			"needed here", 10, "Try: treat thickness as number"},
		{full, "rows for pins is pair or single", "unknown-column", `there is no column "single" in gates`, 26,
			"the columns are load, density, specific_gravity, specific, moisture, pins, thickness, glue and others"},
		{full, "rows for pins", "expected-word", "the line stops where is, among, <, <=, > or >= is needed", 14,
			"for example rows 5 to 12"},
		{full, "rows for (pins is pair", "expected-word", "the line stops where a closing bracket is needed", 23,
			"for example rows 5 to 12"},
		{full, "rows for", "expected-column", "the line stops where a column is needed", 9, "for example rows 5 to 12"},
		{full, "average load by density", "wrong-kind", "density is a number column; a column with levels is " +
			"needed here", 17, "Try: treat density as category"},
		{full, "average board by pins", "wrong-kind", "board is a text column; a number column is needed here", 9,
			"Try: treat board as number"},
		{full, "average load by board", "wrong-kind", "board is a text column; a column with levels is needed here", 17,
			"Try: treat board as category"},
		{full, "fit load on board", "wrong-kind", "board is a text column; a term is a number column or one with " +
			"levels", 13, "Try: treat board as category"},
		{full, "fit load on ln(pins)", "wrong-kind", "pins is a category column; a number column is needed here", 16,
			"number columns are load, density, specific_gravity, specific, moisture"},
		{full, "fit load on together(pins)", "expected-term", "together( ) joins two columns or more", 26,
			"together(pins, thickness)"},
		{full, "fit load with pins", "expected-word", `"on" or "until" is needed here, not "with"`, 10, ""},
		{full, "fit load on", "expected-term", "the line stops where a term (a column, or a function of one) is " +
			"needed", 12, "for example fit load on density, pins"},
		{full, "fit load on density,", "expected-term",
			"the line stops where a term (a column, or a function of one) is needed", 21,
			"for example fit load on density, pins"},
		{full, "fit load on pins worth 10% worth 5%", "repeated", `"worth" is on this line twice`, 28,
			"keep one of them"},
		{full, "fit load on pins through zero, through zero", "repeated", `"through zero" is on this line twice`, 32,
			"keep one of them"},
		{full, "fit load on pins fron old-2024", "unexpected", `"fron" does not belong here`, 18, "did you mean from?"},
		{full, "undo now", "unexpected", `"now" does not belong here`, 6, "the command is complete before it"},
		{full, "fit load on pins confidence 90", "expected-percent", "90 is not a percentage", 29, "did you mean 90%?"},
		{full, "confidence 120%", "expected-percent", "a percentage between 0% and 100% is needed here, not 120", 12,
			""},
		{full, "anova sequential of fit1", "unexpected", `"of" does not belong here`, 18,
			"what may come here: each last, as, confidence, worth"},
		{full, "draw effects to x.png, confidence 90% of fit1", "unexpected", `"of" does not belong here`, 39,
			"what may come here: size, titled, replacing"},
		{full, "anova sequential of nothing", "unexpected", `"of" does not belong here`, 18,
			"what may come here: each last, as, confidence, worth"},
		{full, "anova of fti1", "unknown-result", `there is no fit called "fti1"`, 10, "did you mean fit1?"},
		{full, "anova of anova1", "wrong-kind", "anova1 is an analysis of variance; a fit is needed here", 10,
			"there is fit1, oldfit, fit2"},
		{full, "rivals fit1, oldfit, fit3", "unknown-result", `there is no fit called "fit3"`, 22,
			"did you mean fit2?"},
		{noFit, "anova", "no-result", "there is no fit yet to take", 6, "Try: fit load on density, pins"},
		{full, "switch to gats", "unknown-series", `there is no series called "gats"`, 11, "did you mean gates?"},
		{full, "fit load on pins from nowhere", "unknown-series", `there is no series called "nowhere"`, 23,
			"open are gates, old-2024"},
		{full, "show sries", "unknown-result", `there is no result called "sries"`, 6,
			"there is plan1, oldplan, plan2, shares1, oldshares, shares2, drove1, olddrove and others"},
		{full, "show", "expected-word", `the line stops where "series", "results", "caution", "aside" or a result ` +
			`is needed`, 5, "for example show series"},
		{full, "mark load as lod", "expected-word",
			`"specimen", "load", "failure", "block", "weight", "order", "given" or "result" is needed here, ` +
				`not "lod"`, 14,
			"did you mean load?"},
		{full, "compare load", "expected-word", `the line stops where "by" or "with" is needed`, 13,
			"for example compare load by pins against none"},
		{full, "compare pins by load", "wrong-kind", "pins is a category column; a number column is needed here", 9,
			"number columns are load, density, specific_gravity, specific, moisture"},
		{full, `open "gates.csv`, "unclosed-quote", "this quotation mark is never closed", 6, `end the text with "`},
		{full, "open", "expected-file", "the line stops where a file is needed", 5, "for example open gates.csv"},
		{full, "open a.csv as 3", "expected-name", `a name that starts with a letter is needed here, not "3"`, 15, ""},
		{full, "draw load by pins titled Hello", "expected-text",
			`text in quotation marks is needed here, not "Hello"`, 26, ""},
		{full, "rows 5 to 2", "expected-number", "the last row comes before the first", 11, ""},
		{full, "digits 1.5", "expected-number", `a whole number is needed here, not "1.5"`, 8, ""},
		{full, "worth 1e999", "expected-number", "1e999 is too large a number", 7, ""},
		{full, "work out x = load + lod", "unknown-column", `there is no column "lod" in gates`, 21,
			"did you mean load?"},
		{full, "work out x = load/lod", "unknown-column", `there is no column "lod" in gates`, 19,
			"did you mean load?"},
		{full, "work out x = ", "expected-expression",
			"the line stops where a value (a number, a column, a function or a bracket) is needed", 14,
			"for example work out moment = load * 80 mm"},
		{full, "work out x = load *", "expected-expression",
			"the line stops where a value (a number, a column, a function or a bracket) is needed", 20,
			"for example work out moment = load * 80 mm"},
		{full, "work out x load", "expected-word", `the line stops where "=" is needed`, 16,
			"for example work out moment = load * 80 mm"},
		{full, "work out 3x = load", "expected-name", `a name that starts with a letter is needed here, not "3"`, 10,
			""},
		{full, "work out x = 3 kgff", "unknown-unit", `there is no unit "kgff"`, 16, "did you mean kgf?"},
		{full, "work out x = (load + 3 N", "expected-word", "the line stops where a closing bracket is needed", 25,
			"for example work out moment = load * 80 mm"},
		{full, "work out x = ln(load, density)", "expected-expression", "ln( ) takes one value", 21, ""},
		{full, "work out x = largest(load)", "expected-expression",
			"largest( ) takes two values or more, and gives one per specimen", 26, "largest(load, 500 N)"},
		{full, "work out x = load if pins is pair", "expected-word", `the line stops where "otherwise" is needed`, 34,
			"for example work out moment = load * 80 mm"},
		{full, "work out x = load if pins is pear, otherwise 0", "unknown-level", `pins has no level "pear"`, 30,
			"its levels are none, single, pair, offset"},
		{full, "work out x = load density", "unexpected", `"density" does not belong here`, 19,
			"what may come here: if"},
		{full, "merge levels nne, pair into any of pins", "unknown-level", `pins has no level "nne"`, 14,
			"did you mean none?"},
		{full, "merge levels none into any of pns", "unknown-column", `there is no column "pns" in gates`, 31,
			"did you mean pins?"},
		{full, "merge levels none into any of", "expected-column",
			"the line stops where a column with levels is needed", 30,
			"for example merge levels none, single into pinned of pins"},
		{full, "pool gates as all", "expected-series", `a comma and another series is needed here, not "as"`, 12, ""},
		{full, "pool gates, gats as all", "unknown-series", `there is no series called "gats"`, 13,
			"did you mean gates?"},
		{full, "put old-2024 beside gates by pins as x", "unknown-column", `there is no column "pins" in old-2024`, 30,
			"the columns are break_load, größe, dowels"},
		{full, "set aside 7 because \"knot\"", "expected-word", `"specimen", "row" or "for" is needed here, not "7"`,
			11, ""},
		{full, "set aside specimen because \"knot\"", "expected-text",
			`the name or the number of a specimen is needed here, not "because"`, 20, ""},
		{full, "set aside specimen 7", "expected-word", `the line stops where "because" is needed`, 21,
			`for example set aside specimen G54, G61 because "knot at the pin"`},
		{full, "set aside specimen 7 because knot", "expected-text",
			`text in quotation marks is needed here, not "knot"`, 30, ""},
		{full, "band density at 500 mm", "wrong-dimension", "density is in kg/m3, a unit of density; mm is a unit " +
			"of length", 17, ""},
		{full, "rename load to", "expected-name", "the line stops where a name that starts with a letter is needed", 15,
			"for example rename load to peak load"},
		{full, "note", "expected-text", "the line stops where text is needed", 5,
			"for example note The pins were cut by hand."},
		{none, "fit load on pins", "no-series", "no series is open", 5, "open FILE.csv"},
		{none, "switch to gates", "no-series", "no series is open", 11, "open FILE.csv"},
	} {
		_, err := Parse(phrase.Piece{Text: c.line, At: 1}, c.k)
		var e *phrase.Error
		if !errors.As(err, &e) {
			t.Errorf("%s\n  no *Error but %v", c.line, err)
			continue
		}
		if want := (phrase.Error{Code: page.Code(c.code), Message: c.message, At: c.at, Hint: c.hint}); *e != want {
			t.Errorf("%s\n  got  %+v\n  want %+v", c.line, *e, want)
		}
	}
}
