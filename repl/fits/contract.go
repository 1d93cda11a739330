package fits

import (
	"reflect"

	"breakbook/repl/page"
	"breakbook/repl/session"
)

// Contract is what the commands here give in JSON.
var Contract = []page.Contract{
	page.Gives("fit", reflect.TypeFor[fitValues](), page.Rows[termRow]("terms"), page.Rows[shapeRow]("shapes"),
		page.Rows[blockRow]("blocks"), page.Rows[playedDownRow]("played_down"), page.Rows[beforeRow]("before")),
	page.Gives("drove", reflect.TypeFor[session.DroveValues](), page.Rows[session.FactorRow]("factors"),
		page.Rows[session.LeftOut]("left_out"), page.Rows[beforeRow]("before")),
	page.Gives("anova", nil, page.Rows[sourceRow]("sources")),
	page.Gives("adjusted", nil, page.Rows[meanRow]("means"), page.Rows[medianRow]("medians")),
	page.Gives("predict", nil, page.Rows[predictedRow]("predicted")),
	page.Gives("rivals", nil, page.Rows[modelRow]("models"), page.Rows[stepRow]("steps")),
	page.Gives("shares", reflect.TypeFor[shareValues](), page.Rows[shareRow]("shares"),
		page.Rows[session.AssociationRow]("varied_together")),
}
