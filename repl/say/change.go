package say

import (
	"math"

	"breakbook/models/verdict"
	"breakbook/repl/page"
)

// Jump tells a jump of the measure at a place between two values of a number, or that none stands out; steady:
// a straight line would do as well.
func (g Gap) Jump(along string, before, beyond page.Num, places int, steady bool) page.Sentence {
	if g.Answer == verdict.CannotTell || g.Answer == verdict.NoDifferenceWorth {
		return append(page.Say("No jump of "+g.Measure+" along "+along+" stands out: at the best of ", places,
			" places looked at, between ", before, " and ", beyond, ", it is ", g.size(g.Value), " beyond"), g.found()...)
	}
	if steady {
		return append(page.Say("Taken as a jump between "+along+" ", before, " and ", beyond, ", "+g.Measure+" is ",
			g.size(g.Value), " beyond it"), g.found()...)
	}
	verb := " jumps up by "
	if g.Value < 0 {
		verb = " drops by "
	}
	return append(page.Say("Between "+along+" ", before, " and ", beyond, " "+g.Measure+verb, g.plain(math.Abs(g.Value))),
		g.found()...)
}

// Kink tells that the slope of the measure changes at a place, by where the highest value of the number
// seen ends up beside the line before; or that no kink stands out.
func (g Gap) Kink(along string, at, highest page.Num, slope, low, high page.Num) page.Sentence {
	side := " above"
	if g.Value < 0 {
		side = " below"
	}
	off := page.Say("at the highest ("+"", highest, ") "+g.Measure+" is ", g.plain(math.Abs(g.Value)),
		side+" where the line before would lead")
	if g.Answer == verdict.CannotTell || g.Answer == verdict.NoDifferenceWorth {
		return append(page.Say("No kink of "+g.Measure+" along "+along+" stands out: with the best place, ", at, ", ", off),
			g.found()...)
	}
	return append(page.Say("At "+along+" ", at, " the slope of "+g.Measure+" changes by ", slope, " (",
		page.Num{Value: g.Confidence, Style: page.Fraction}, " interval ", page.Span{Low: low.Value, High: high.Value,
			Unit: slope.Unit}, "): ", off), g.found()...)
}

// found is the tail of a gap whose place was looked for: how many specimens would settle it is not known.
func (g Gap) found() page.Sentence {
	s := append(append(page.Say(" ("), g.span()...), page.Say("), ", page.Chance(g.Probability), ": ")...)
	v := page.Verdict{Words: g.Answer.Key(), Of: g.Of}
	if g.Answer != verdict.CannotTell {
		v.More = More(g.Answer, g.Worth, g.Enough)
	}
	return append(s, v, page.Word("."))
}
