package modes

import (
	"reflect"

	"breakbook/repl/page"
)

// Contract is what the commands about ways of failing give in JSON.
var Contract = []page.Contract{
	{Kind: "count", Tables: []page.TableShape{{ID: "counts", Row: reflect.TypeFor[countRow]()}},
		Values: reflect.TypeFor[countFigures]()},
	{Kind: "modes", Tables: []page.TableShape{
		{ID: "proportions", Row: reflect.TypeFor[proportionRow]()},
		{ID: "buildup", Row: reflect.TypeFor[buildupRow]()},
	}},
	{Kind: "odds", Tables: []page.TableShape{
		{ID: "terms", Row: reflect.TypeFor[oddsTerm]()},
		{ID: "contrasts", Row: reflect.TypeFor[contrastRow]()},
	}, Values: reflect.TypeFor[oddsFigures]()},
	{Kind: "strength", Tables: []page.TableShape{
		{ID: "terms", Row: reflect.TypeFor[strengthTerm]()},
		{ID: "strengths", Row: reflect.TypeFor[strengthRow]()},
		{ID: "bounds", Row: reflect.TypeFor[boundRow]()},
		{ID: "bound_ranges", Row: reflect.TypeFor[boundRangeRow]()},
		{ID: "ratios", Row: reflect.TypeFor[ratioRow]()},
		{ID: "distributions", Row: reflect.TypeFor[distributionRow]()},
	}, Values: reflect.TypeFor[strengthFigures]()},
}
