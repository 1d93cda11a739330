package say

import (
	"strconv"
	"strings"

	"breakbook/repl/page"
)

// Listed names a few things, and says how many more there are.
func Listed(names []string) string {
	const most = 12
	if len(names) > most+1 {
		return strings.Join(names[:most], ", ") + " and " + strconv.Itoa(len(names)-most) + " more"
	}
	return strings.Join(names, ", ")
}

// OddCurves are specimens whose curves had to be put right, or are short of something.
type OddCurves struct {
	Zeroed, Sorted, Looped, CutShort, ShortLine []string
}

// Sentences has one caution for each thing; zero is the furthest a curve's slack was
// from no load.
func (o OddCurves) Sentences(zero page.Num) []page.Sentence {
	var out []page.Sentence
	say := func(names []string, one, many string) page.Sentence {
		return page.Say(len(names), Plural(len(names), one, many)+": "+Listed(names)+".")
	}
	if len(o.Zeroed) > 0 {
		out = append(out, append(say(o.Zeroed, " curve does not start from no load, so the level of its slack was taken off",
			" curves do not start from no load, so the level of their slack was taken off"),
			page.Say(" The furthest was ", zero, ".")...))
	}
	for _, c := range []struct {
		names     []string
		one, many string
	}{
		{o.Sorted, " curve has its readings in no order of testing, so they were put in order of slip",
			" curves have their readings in no order of testing, so they were put in order of slip"},
		{o.Looped, " specimen was unloaded and loaded again; the energies leave that loop out",
			" specimens were unloaded and loaded again; the energies leave those loops out"},
		{o.CutShort, " curve ends above 20 % of its largest load, so energy_total is less than it would have been",
			" curves end above 20 % of their largest load, so energy_total is less than it would have been"},
		{o.ShortLine, " curve starts above 10 % of its largest load, so the stiffness is of the readings there " +
			"are up to 40 %", " curves start above 10 % of their largest load, so the stiffness is of the readings " +
			"there are up to 40 %"},
	} {
		if len(c.names) > 0 {
			out = append(out, say(c.names, c.one, c.many))
		}
	}
	return out
}
