package render

import (
	"regexp"
	"strings"

	"breakbook/repl/page"
)

var unitWords = strings.NewReplacer("percentage point", "percentage point", "degC", "°C", "degF", "°F", "percent",
	"%", "*", "·", "^", "")

var unitPower = regexp.MustCompile(`(\p{L})(-?[0-9]+)`)

var raised = strings.NewReplacer("-", "⁻", "0", "⁰", "1", "¹", "2", "²", "3", "³", "4", "⁴",
	"5", "⁵", "6", "⁶", "7", "⁷", "8", "⁸", "9", "⁹")

// Unit spells a canonical unit as people write it: kg/m3 becomes kg/m³, degC °C,
// percent %, kgf*mm kgf·mm. JSON keeps the canonical spelling.
func Unit(canonical string) string {
	s := unitWords.Replace(clean(canonical))
	return unitPower.ReplaceAllStringFunc(s, func(m string) string {
		parts := unitPower.FindStringSubmatch(m)
		return parts[1] + raised.Replace(parts[2])
	})
}

// tableUnit spells a unit as the heads and cells of tables have room for it: percentage points as % points.
func tableUnit(canonical string) string {
	return strings.Replace(Unit(canonical), page.PercentagePoints, "% points", 1)
}

// withUnit puts a unit behind a number, held together by a blank that does not break.
func withUnit(number, unit string) string {
	switch {
	case unit == "":
		return number
	case number == "1" && unit == page.PercentagePoints:
		unit = "percentage point"
	}
	return number + hardSpace + strings.ReplaceAll(Unit(unit), " ", hardSpace)
}
