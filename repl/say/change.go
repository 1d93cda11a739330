package say

import (
	"math"

	"breakbook/models/verdict"
	"breakbook/repl/page"
)

// Jump tells a jump of the measure at a place between two values of a number, or that none stands out; steady:
// a straight line would do as well.
func (g Gap) Jump(along string, before, beyond page.Num, places int, steady bool) page.Sentence {
	switch {
	case g.Answer == verdict.CannotTell || g.Answer == verdict.NoDifferenceWorth:
		return page.Say("No jump of "+g.Measure+" along "+along+" stands out: at the best of ", places,
			" places looked at, between ", before, " and ", beyond, ", it is ", g.size(), " beyond", g.found())
	case steady:
		return page.Say("Taken as a jump between "+along+" ", before, " and ", beyond, ", "+g.Measure+" is ", g.size(),
			" beyond it", g.found())
	}
	return page.Say("Between "+along+" ", before, " and ", beyond, " "+g.Measure,
		g.either(" jumps up by ", " drops by "), g.plain(math.Abs(g.Value)), g.found())
}

// Kink tells that the slope of the measure changes at a place, by where the highest value of the number
// seen ends up beside the line before; or that no kink stands out.
func (g Gap) Kink(along string, at, highest page.Num, slope, low, high page.Num) page.Sentence {
	off := page.Say("at the highest (", highest, ") "+g.Measure+" is ", g.plain(math.Abs(g.Value)),
		g.either(" above", " below"), " where the line before would lead", g.found())
	if g.Answer == verdict.CannotTell || g.Answer == verdict.NoDifferenceWorth {
		return page.Say("No kink of "+g.Measure+" along "+along+" stands out: with the best place, ", at, ", ", off)
	}
	return page.Say("At "+along+" ", at, " the slope of "+g.Measure+" changes by ", slope, " (",
		page.Share(g.Confidence), " interval ", page.Span{Low: low.Value, High: high.Value, Unit: slope.Unit}, "): ",
		off)
}

// found is the tail of a gap whose place was looked for: how many specimens would settle it is not known.
func (g Gap) found() page.Sentence {
	v := page.Verdict{Words: g.Answer.Key(), Of: g.Of}
	if g.Answer != verdict.CannotTell {
		v.More = More(g)
	}
	return page.Say(" (", g.span(), "), ", page.Chance(g.Probability), ": ", v, ".")
}
