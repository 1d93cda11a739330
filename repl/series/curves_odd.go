package series

import (
	"breakbook/repl/page"
	"breakbook/repl/say"
)

// oddCurves are specimens whose curves had to be put right, or are short of something.
type oddCurves struct {
	zeroed, sorted, looped, cutShort, shortLine []string
}

// sentences has one caution for each thing; zero is the furthest a curve's slack was from no load.
func (o oddCurves) sentences(zero page.Num) []page.Sentence {
	var out []page.Sentence
	for _, c := range []struct {
		names     []string
		one, many string
		more      page.Sentence
	}{
		{o.zeroed, " curve does not start from no load, so the level of its slack was taken off",
			" curves do not start from no load, so the level of their slack was taken off",
			page.Say(" The furthest was ", zero, ".")},
		{o.sorted, " curve has its readings in no order of testing, so they were put in order of slip",
			" curves have their readings in no order of testing, so they were put in order of slip", nil},
		{o.looped, " specimen was unloaded and loaded again; the energies leave that loop out",
			" specimens were unloaded and loaded again; the energies leave those loops out", nil},
		{o.cutShort, " curve ends above 20 % of its largest load, so energy_total is less than it would have been",
			" curves end above 20 % of their largest load, so energy_total is less than it would have been", nil},
		{o.shortLine, " curve starts above 10 % of its largest load, so the stiffness is of the readings there " +
			"are up to 40 %", " curves start above 10 % of their largest load, so the stiffness is of the readings " +
			"there are up to 40 %", nil},
	} {
		n := len(c.names)
		out = append(out, page.If(n > 0, n, say.Plural(n, c.one, c.many)+": "+say.Listed(c.names)+".", c.more))
	}
	return out
}
