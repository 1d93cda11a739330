package bench

import (
	"reflect"
	"slices"

	"breakbook/repl/fits"
	"breakbook/repl/groups"
	"breakbook/repl/modes"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	commands "breakbook/repl/phrase/help"
	"breakbook/repl/plans"
	"breakbook/repl/plans/blanks"
	"breakbook/repl/plans/judging"
	"breakbook/repl/series"
	"breakbook/repl/series/specimens"
)

// Contracts is what all commands give in JSON, by family. A kind that several commands share
// stands there once for each set of tables.
func Contracts() []page.Contract {
	return slices.Concat(series.Contract, specimens.Contract, groups.Contract, fits.Contract, modes.Contract,
		plans.Contract, blanks.Contract, judging.Contract, own())
}

// own is what the commands that are run here give, and, by the empty kind, what `each of` puts before the
// tables of any command that takes it.
func own() []page.Contract {
	help := page.Contract{Kind: "help"}
	for _, group := range []phrase.Group{phrase.Bringing, phrase.Looking, phrase.Fitting, phrase.Planning,
		phrase.Drawing, phrase.Book, commands.Notions} {
		help.Tables = append(help.Tables, page.TableShape{ID: string(group), Row: reflect.TypeFor[helpRow]()})
	}
	for _, t := range commands.Topics {
		help.Tables = append(help.Tables, page.TableShape{ID: t.Name, Row: reflect.TypeFor[helpRow]()})
	}
	help.Tables = append(help.Tables, page.TableShape{ID: "topics", Row: reflect.TypeFor[topicRow]()})
	out := []page.Contract{help, {Kind: "", Tables: []page.TableShape{{ID: "each", Row: reflect.TypeFor[eachRow]()}}}}
	out = append(out, page.Contract{Kind: "again all", Tables: []page.TableShape{
		{ID: "changed", Row: reflect.TypeFor[changedRow]()}, {ID: "specimens", Row: reflect.TypeFor[movedRow]()}},
		Values: reflect.TypeFor[againValues]()})
	for _, kind := range []string{"again", "undo", "note", "heading", "conclude", "save", "resume", "forget journal",
		"replay", "report", "confidence", "worth", "chalk point", "seed", "digits", "quit", "learn", "demo"} {
		out = append(out, page.Contract{Kind: kind})
	}
	return out
}
