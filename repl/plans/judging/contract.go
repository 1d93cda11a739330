// Package judging holds a series to the plan that it was made by: whether it may end, and what is left to make.
package judging

import (
	"reflect"

	"breakbook/repl/page"
)

// Contract is what judging a series gives in JSON.
var Contract = []page.Contract{
	page.Gives("judge", reflect.TypeFor[lookFigures](), page.Rows[lookRow]("looks"),
		page.Rows[pairRow]("differences"), page.Rows[alarmRow]("alarms")),
}
