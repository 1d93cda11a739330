package say

import (
	"math"

	"breakbook/models/verdict"
	"breakbook/repl/page"
)

// Repeated is a difference over several series: size, interval, probability, answer. asOne says that Range is that of
// one truth behind all; other is the interval where each may have its own, or the other way round.
func (g Gap) Repeated(series int, asOne bool, other verdict.Range) page.Sentence {
	otherwise := g
	otherwise.Range = other
	between := "; were there one truth behind all series, "
	if asOne {
		between = ", were there one truth behind all series, which they do not speak against; allowing for each to " +
			"have its own, "
	}
	v := page.Verdict{Words: g.Answer.Key(), Of: g.Of, More: More(Gap{Answer: g.Answer, Worth: g.Worth})}
	if g.Answer == verdict.CannotTell && g.Worth.Value > 0 {
		size := page.Num{Value: g.Worth.Value, Unit: g.Worth.Unit, Style: g.Worth.Style,
			Resolution: math.Abs(g.Worth.Value)}
		v.More = page.Say(" whether the difference reaches ", size,
			"; another series would settle more than more specimens of one")
	}
	return page.Say("Over ", series, " series, with ", g.With, " "+g.Measure+" is ", g.size(), " than with ", g.Than,
		" (", g.span(), between, otherwise.reach(), "), ", page.Chance(g.Probability), ": ", v, ".")
}
