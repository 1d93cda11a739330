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
	columns := page.TableShape{ID: "columns", Row: reflect.TypeFor[columnRow]()}
	gives := func(kind string, tables ...page.TableShape) page.Contract {
		return page.Contract{Kind: kind, Tables: tables}
	}
	curves := gives("curves", page.TableShape{ID: "figures", Row: reflect.TypeFor[figureRow]()},
		page.TableShape{ID: "missing", Row: reflect.TypeFor[absentRow]()},
		page.TableShape{ID: "left", Row: reflect.TypeFor[leftRow]()})
	curves.Values = reflect.TypeFor[curveValues]()
	calibrate := gives("calibrate", columns, page.TableShape{ID: "checks", Row: reflect.TypeFor[checkRow]()})
	calibrate.Values = reflect.TypeFor[calibrateValues]()
	open := gives("open", columns, page.TableShape{ID: "sheets", Row: reflect.TypeFor[sheetRow]()})
	open.Values = reflect.TypeFor[sheetFigures]()
	return []page.Contract{
		open,
		gives("show", page.TableShape{ID: "series", Row: reflect.TypeFor[seriesRow]()},
			page.TableShape{ID: "results", Row: reflect.TypeFor[resultRow]()}, specimens.AsideShape, specimens.CorrectedShape),
		gives("switch"),
		gives("look", columns, page.TableShape{ID: "reading", Row: reflect.TypeFor[readingRow]()}),
		gives("rows", page.TableShape{ID: "rows", Row: reflect.TypeFor[specimenRow]()}),
		gives("mark", columns),
		gives("unit", columns),
		gives("treat", columns),
		gives("levels", columns),
		gives("merge", columns),
		gives("rename", columns),
		gives("convert", columns),
		gives("work out", columns),
		gives("adjust", page.TableShape{ID: "slopes", Row: reflect.TypeFor[slopeRow]()}, columns),
		gives("band", columns, page.TableShape{ID: "bands", Row: reflect.TypeFor[bandRow]()}),
		gives("pool", page.TableShape{ID: "series", Row: reflect.TypeFor[originRow]()}, columns),
		gives("put", page.TableShape{ID: "unmatched", Row: reflect.TypeFor[unmatchedRow]()},
			page.TableShape{ID: "blocks", Row: reflect.TypeFor[blockRow]()}, columns),
		curves,
		calibrate,
		gives("write", page.TableShape{ID: "files", Row: reflect.TypeFor[fileRow]()}),
		gives("close"),
		gives("forget"),
	}
}
