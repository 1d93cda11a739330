package bench

import (
	"slices"

	"breakbook/repl/fits"
	"breakbook/repl/groups"
	"breakbook/repl/modes"
	"breakbook/repl/page"
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
		plans.Contract, blanks.Contract, judging.Contract, Contract)
}
