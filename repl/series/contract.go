package series

import (
	"reflect"

	"breakbook/repl/page"
	"breakbook/repl/series/specimens"
)

// Contract is what the commands of this family give in JSON, a kind of command at a time.
// A command gives those of its kind's tables that it has rows for.
var Contract = shapes()

func shapes() []page.Contract {
	columns := page.Rows[columnRow]("columns")
	out := []page.Contract{
		page.Gives("open", reflect.TypeFor[sheetFigures](), columns, page.Rows[sheetRow]("sheets")),
		page.Gives("show", nil, page.Rows[seriesRow]("series"), page.Rows[resultRow]("results"), specimens.AsideShape,
			specimens.CorrectedShape),
		page.Gives("switch", nil),
		page.Gives("look", nil, columns, page.Rows[readingRow]("reading")),
		page.Gives("rows", nil, page.Rows[specimenRow]("rows")),
	}
	for _, kind := range []string{"mark", "unit", "treat", "levels", "merge", "rename", "convert", "work out"} {
		out = append(out, page.Gives(kind, nil, columns))
	}
	return append(out, page.Gives("adjust", nil, page.Rows[slopeRow]("slopes"), columns), page.Gives("band", nil,
		columns, page.Rows[bandRow]("bands")), page.Gives("pool", nil, page.Rows[originRow]("series"), columns),
		page.Gives("put", nil, page.Rows[unmatchedRow]("unmatched"), page.Rows[blockRow]("blocks"), columns),
		page.Gives("curves", reflect.TypeFor[curveValues](),
			page.Rows[figureRow]("figures"), page.Rows[absentRow]("missing"), page.Rows[skippedRow]("left")),
		page.Gives("calibrate", reflect.TypeFor[calibrateValues](), columns, page.Rows[checkRow]("checks")),
		page.Gives("write", nil, page.Rows[fileRow]("files")), page.Gives("close", nil), page.Gives("forget", nil))
}
