package phrase

import (
	"strings"

	"breakbook/frames/meant"
	"breakbook/frames/units"
)

// unitWord is a unit's name in full, and how it is typed.
type unitWord struct{ word, unit string }

// unitWords are the units by their names, in the two spellings of English.
var unitWords = []unitWord{
	{"newton", "N"}, {"newtons", "N"}, {"kilonewton", "kN"}, {"kilonewtons", "kN"},
	{"kilogramforce", "kgf"}, {"kilopond", "kgf"}, {"poundforce", "lbf"},
	{"gram", "g"}, {"grams", "g"}, {"kilogram", "kg"}, {"kilograms", "kg"}, {"pound", "lb"}, {"pounds", "lb"},
	{"millimetre", "mm"}, {"millimeter", "mm"}, {"centimetre", "cm"}, {"centimeter", "cm"}, {"metre", "m"}, {"meter", "m"},
	{"inches", "inch"}, {"pascal", "Pa"}, {"kilopascal", "kPa"}, {"megapascal", "MPa"},
	{"celsius", "degC"}, {"centigrade", "degC"}, {"fahrenheit", "degF"},
	{"second", "s"}, {"seconds", "s"}, {"minute", "min"}, {"minutes", "min"}, {"hour", "h"}, {"hours", "h"}, {"joule", "J"},
}

// unitCalled is the unit whose name in full is typed.
func unitCalled(typed string) (units.Unit, bool) {
	for _, w := range unitWords {
		if strings.EqualFold(w.word, typed) {
			return units.Parse(w.unit)
		}
	}
	return units.Unit{}, false
}

// unitHint is what was probably meant by an unknown unit: one that is spelled nearly so, or
// one whose name in full is.
func unitHint(typed string) string {
	known := units.Known()
	if c := meant.By(typed, known); c != "" {
		return "did you mean " + c + "?"
	}
	var words []string
	for _, w := range unitWords {
		words = append(words, w.word)
	}
	c := meant.By(typed, words)
	for _, w := range unitWords {
		if w.word == c {
			return "did you mean " + w.unit + "?"
		}
	}
	return Meant(typed, known, "units are")
}
