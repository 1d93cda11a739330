package specimens

import (
	"reflect"

	"breakbook/repl/page"
)

// AsideShape is the table of the specimens that are set aside.
var AsideShape = page.TableShape{ID: "aside", Row: reflect.TypeFor[asideRow]()}

// CorrectedShape is the table of the values that are not as in the file.
var CorrectedShape = page.TableShape{ID: "corrected", Row: reflect.TypeFor[correctedRow]()}

// Contract is what the commands of this package give in JSON, a kind of command at a time. `show aside`
// shares its kind with commands of repl/series and stands there.
var Contract = []page.Contract{
	{Kind: "check series", Tables: []page.TableShape{{ID: "rows", Row: reflect.TypeFor[checkedRow]()}}},
	{Kind: "correct", Tables: []page.TableShape{CorrectedShape}},
	{Kind: "set aside", Tables: []page.TableShape{AsideShape}},
	{Kind: "bring back", Tables: []page.TableShape{AsideShape}},
}
