// Package modes has the commands about ways of failing: count, modes, odds, the strength of
// one mode, and their pictures. In come a call and the command; out come chances and
// strengths in sentences and tables.
package modes

import (
	"reflect"

	"breakbook/repl/page"
)

// Contract is what the commands about ways of failing give in JSON.
var Contract = []page.Contract{
	page.Gives("count", reflect.TypeFor[countFigures](), page.Rows[countRow]("counts")),
	page.Gives("modes", nil, page.Rows[proportionRow]("proportions"), page.Rows[buildupRow]("buildup")),
	page.Gives("odds", reflect.TypeFor[oddsFigures](), page.Rows[oddsTerm]("terms"),
		page.Rows[contrastRow]("contrasts")),
	page.Gives("strength", reflect.TypeFor[strengthFigures](), page.Rows[strengthTerm]("terms"),
		page.Rows[strengthRow]("strengths"), page.Rows[boundRow]("bounds"), page.Rows[boundRangeRow]("bound_ranges"),
		page.Rows[ratioRow]("ratios"), page.Rows[distributionRow]("distributions")),
}
