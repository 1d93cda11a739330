package groups

import (
	"reflect"

	"breakbook/repl/page"
	"breakbook/repl/session"
)

// Contract is what the commands here give in JSON.
var Contract = []page.Contract{
	{Kind: "average", Tables: []page.TableShape{{ID: "groups", Row: reflect.TypeFor[groupRow]()}}},
	{Kind: "check", Tables: []page.TableShape{{ID: "tests", Row: reflect.TypeFor[testRow]()},
		{ID: "specimens", Row: reflect.TypeFor[specimenRow]()},
		{ID: "varied_together", Row: reflect.TypeFor[session.AssociationRow]()}},
		Values: reflect.TypeFor[checkValues]()},
	{Kind: "compare", Tables: []page.TableShape{{ID: "overall", Row: reflect.TypeFor[overallRow]()},
		{ID: "differences", Row: reflect.TypeFor[differenceRow]()}, {ID: "prices", Row: reflect.TypeFor[priceRow]()}},
		Values: reflect.TypeFor[compareValues]()},
	{Kind: "characteristic", Tables: []page.TableShape{{ID: "limits", Row: reflect.TypeFor[limitRow]()},
		{ID: "limits_lognormal", Row: reflect.TypeFor[limitRow]()},
		{ID: "differences", Row: reflect.TypeFor[limitDifferenceRow]()}}},
	{Kind: "same", Tables: []page.TableShape{{ID: "pairs", Row: reflect.TypeFor[pairRow]()}}},
	{Kind: "agree", Tables: []page.TableShape{{ID: "series", Row: reflect.TypeFor[seriesRow]()},
		{ID: "adding", Row: reflect.TypeFor[addingRow]()}},
		Values: reflect.TypeFor[jointValues]()},
	{Kind: "agree", Tables: []page.TableShape{{ID: "series", Row: reflect.TypeFor[effectRow]()},
		{ID: "together", Row: reflect.TypeFor[jointRow]()}},
		Values: reflect.TypeFor[jointValues]()},
}
