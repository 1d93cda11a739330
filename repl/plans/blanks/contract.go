// Package blanks has the commands that choose joints and blanks one by one: suggest and allot. In come a call and the
// command; out come the joints that tell most, and which blank gets what.
package blanks

import (
	"reflect"

	"breakbook/repl/page"
)

// Contract is what suggest and allot give in JSON.
var Contract = []page.Contract{
	page.Gives("allot", reflect.TypeFor[allotFigures](), page.Rows[allottedRow]("allotted"),
		page.Rows[balanceRow]("balance")),
	page.Gives("suggest", reflect.TypeFor[suggestFigures](), page.Rows[suggestedRow]("suggested"),
		page.Rows[handRow]("chosen")),
}
