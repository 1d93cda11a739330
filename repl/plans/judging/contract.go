package judging

import (
	"reflect"

	"breakbook/repl/page"
)

// Contract is what judging a series gives in JSON.
var Contract = []page.Contract{
	page.Gives("judge", reflect.TypeFor[judgedFigures](), page.Rows[lookRow]("looks"),
		page.Rows[judgedRow]("differences"), page.Rows[alarmRow]("alarms")),
}
