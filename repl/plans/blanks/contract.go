// Package blanks has the commands that choose joints and blanks one by one: suggest and allot. In come a call and the
// command; out come the joints that tell most, and which blank gets what.
package blanks

import (
	"reflect"

	"breakbook/repl/page"
)

// Contract is what suggest and allot give in JSON.
var Contract = []page.Contract{
	{Kind: "allot", Tables: []page.TableShape{
		{ID: "allotted", Row: reflect.TypeFor[allottedRow]()},
		{ID: "balance", Row: reflect.TypeFor[balanceRow]()},
	}, Values: reflect.TypeFor[allotFigures]()},
	{Kind: "suggest", Tables: []page.TableShape{{ID: "suggested", Row: reflect.TypeFor[suggestedRow]()},
		{ID: "chosen", Row: reflect.TypeFor[handRow]()}},
		Values: reflect.TypeFor[suggestFigures]()},
}
