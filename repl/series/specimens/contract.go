package specimens

import "breakbook/repl/page"

// AsideShape is the table of the specimens that are set aside.
var AsideShape = page.Rows[asideRow]("aside")

// CorrectedShape is the table of the values that are not as in the file.
var CorrectedShape = page.Rows[correctedRow]("corrected")

// Contract is what the commands of this package give in JSON, a kind of command at a time. `show aside`
// shares its kind with commands of repl/series and stands there.
var Contract = []page.Contract{
	page.Gives("check series", nil, page.Rows[checkedRow]("rows")),
	page.Gives("correct", nil, CorrectedShape),
	page.Gives("set aside", nil, AsideShape),
	page.Gives("bring back", nil, AsideShape),
}
