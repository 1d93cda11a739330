package judging

import (
	"reflect"

	"breakbook/repl/page"
)

// Contract is what judging a series gives in JSON.
var Contract = []page.Contract{
	{Kind: "judge", Tables: []page.TableShape{{ID: "looks", Row: reflect.TypeFor[lookRow]()},
		{ID: "differences", Row: reflect.TypeFor[judgedRow]()}, {ID: "alarms", Row: reflect.TypeFor[alarmRow]()}},
		Values: reflect.TypeFor[judgedFigures]()},
}
