// Package plans has the commands for how many specimens of the next series to make: plan and sheet. In come a call and
// the command; out come the numbers with what they promise, and the sheet to fill in.
package plans

import (
	"reflect"

	"breakbook/repl/page"
)

// Contract is what plans and their sheets give in JSON.
var Contract = []page.Contract{
	// A plan for the share of a mode has the same keys, in shareSizeRow.
	page.Gives("plan", reflect.TypeFor[planFigures](), page.Rows[sizeRow]("sizes"), page.Rows[answerRow]("answers"),
		page.Rows[splitRow]("split"), page.Rows[planPairRow]("pairs"), page.Rows[stageRow]("stages")),
	page.Gives("sheet", nil, page.Rows[sheetLine]("sheet")),
}
