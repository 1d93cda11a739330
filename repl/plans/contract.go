package plans

import (
	"reflect"

	"breakbook/repl/page"
)

// Contract is what plans and their sheets give in JSON.
var Contract = []page.Contract{
	// A plan for the share of a mode has the same keys, in shareSizeRow.
	{Kind: "plan", Tables: []page.TableShape{{ID: "sizes", Row: reflect.TypeFor[sizeRow]()},
		{ID: "answers", Row: reflect.TypeFor[answerRow]()}, {ID: "split", Row: reflect.TypeFor[splitRow]()},
		{ID: "pairs", Row: reflect.TypeFor[planPairRow]()},
		{ID: "stages", Row: reflect.TypeFor[stageRow]()}},
		Values: reflect.TypeFor[planFigures]()},
	{Kind: "sheet", Tables: []page.TableShape{{ID: "sheet", Row: reflect.TypeFor[sheetLine]()}}},
}
