package bench

import (
	"slices"

	"breakbook/repl/page"
	"breakbook/repl/session"
)

// slopeExact tells that what a response was adjusted by is taken as known.
func slopeExact(column string, by []string) page.Sentence {
	return page.Say("Slope taken as exact: " + column + " was adjusted for " + session.Listed(by) +
		", and how sure that slope is is not in these intervals.")
}

// slopeCautions warn of a response that was brought to reference conditions by slopes that the analysis takes as
// exact: those that were given, and those of columns that are not among its terms.
func slopeCautions(k *session.Call) []page.Sentence {
	c := k.Analysis.Response.Column
	if c.Adjusted == nil {
		return nil
	}
	var by []string
	for _, r := range c.Adjusted.To {
		if r.Exact || !slices.Contains(k.Analysis.Columns, r.Column) || k.Analysis.Response.Function != "" {
			by = append(by, r.Column)
		}
	}
	if len(by) == 0 {
		return nil
	}
	return []page.Sentence{slopeExact(c.Name, by)}
}
