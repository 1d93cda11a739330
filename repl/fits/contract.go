package fits

import (
	"reflect"

	"breakbook/repl/page"
	"breakbook/repl/session"
)

// Contract is what the commands here give in JSON.
var Contract = []page.Contract{
	{Kind: "fit", Tables: []page.TableShape{{ID: "terms", Row: reflect.TypeFor[termRow]()},
		{ID: "shapes", Row: reflect.TypeFor[shapeRow]()},
		{ID: "blocks", Row: reflect.TypeFor[blockRow]()},
		{ID: "played_down", Row: reflect.TypeFor[playedDownRow]()}, {ID: "before", Row: reflect.TypeFor[beforeRow]()}},
		Values: reflect.TypeFor[fitValues]()},
	{Kind: "drove", Tables: []page.TableShape{{ID: "factors", Row: reflect.TypeFor[session.FactorRow]()},
		{ID: "left_out", Row: reflect.TypeFor[session.LeftOut]()},
		{ID: "before", Row: reflect.TypeFor[beforeRow]()}}, Values: reflect.TypeFor[session.DroveValues]()},
	{Kind: "anova", Tables: []page.TableShape{{ID: "sources", Row: reflect.TypeFor[sourceRow]()}}},
	{Kind: "adjusted", Tables: []page.TableShape{{ID: "means", Row: reflect.TypeFor[meanRow]()},
		{ID: "medians", Row: reflect.TypeFor[medianRow]()}}},
	{Kind: "predict", Tables: []page.TableShape{{ID: "predicted", Row: reflect.TypeFor[predictedRow]()}}},
	{Kind: "rivals", Tables: []page.TableShape{{ID: "models", Row: reflect.TypeFor[modelRow]()},
		{ID: "steps", Row: reflect.TypeFor[stepRow]()}}},
	{Kind: "shares", Tables: []page.TableShape{{ID: "shares", Row: reflect.TypeFor[shareRow]()},
		{ID: "varied_together", Row: reflect.TypeFor[session.AssociationRow]()}},
		Values: reflect.TypeFor[shareValues]()},
}
