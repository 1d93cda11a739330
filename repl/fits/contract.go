// Package fits has the commands that fit a response on terms and what is asked of a fit:
// anova, adjusted, share out, predict, rivals. In come a call and the command; out come the
// sentences and tables of effects, and the fit to be kept.
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
	page.Gives("predict", nil, page.Rows[predictedRow]("predicted"), page.Rows[predictedMedian]("medians")),
	page.Gives("rivals", nil, page.Rows[modelRow]("models"), page.Rows[stepRow]("steps")),
	page.Gives("shares", reflect.TypeFor[shareValues](), page.Rows[shareRow]("shares"),
		page.Rows[session.AssociationRow]("varied_together")),
}
