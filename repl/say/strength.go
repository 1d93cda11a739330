package say

import (
	"breakbook/repl/page"
)

// AtLeast tells a gap that nothing holds from above.
func (g Gap) AtLeast() page.Sentence {
	s := page.Say("With ", g.With, ", nothing bounds "+g.Measure+" from above; compared with ", g.Than, " it is ")
	if g.Range.Low > 0 {
		s = append(s, page.Say("at least ", g.plain(g.Range.Low), " higher")...)
	} else {
		s = append(s, page.Say("from ", g.plain(-g.Range.Low), " lower upwards")...)
	}
	s = append(s, page.Say(" (", page.Num{Value: g.Confidence, Style: page.Fraction}, " interval, no upper limit): ")...)
	return append(s, Answer(g.Answer, g.Worth, g.Enough)...)
}
