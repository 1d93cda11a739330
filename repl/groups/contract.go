package groups

import (
	"reflect"

	"breakbook/repl/page"
	"breakbook/repl/session"
)

// Contract is what the commands here give in JSON.
var Contract = []page.Contract{
	page.Gives("average", nil, page.Rows[groupRow]("groups")),
	page.Gives("check", reflect.TypeFor[checkValues](), page.Rows[testRow]("tests"),
		page.Rows[specimenRow]("specimens"), page.Rows[session.AssociationRow]("varied_together")),
	page.Gives("compare", reflect.TypeFor[compareValues](), page.Rows[overallRow]("overall"),
		page.Rows[differenceRow]("differences"), page.Rows[priceRow]("prices")),
	page.Gives("characteristic", nil, page.Rows[limitRow]("limits"), page.Rows[limitRow]("limits_lognormal"),
		page.Rows[limitDifferenceRow]("differences")),
	page.Gives("same", nil, page.Rows[pairRow]("pairs")),
	page.Gives("agree", reflect.TypeFor[jointValues](), page.Rows[seriesRow]("series"), page.Rows[addingRow]("adding")),
	page.Gives("agree", reflect.TypeFor[jointValues](), page.Rows[effectRow]("series"),
		page.Rows[jointRow]("together")),
}
