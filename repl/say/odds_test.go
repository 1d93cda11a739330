package say

import (
	"math"
	"testing"

	"breakbook/models/verdict"
	"breakbook/repl/page"
)

// An end of an interval that is a thousand times out is said in words, any other by its number.
func TestOddsRangesFarOutAreWords(t *testing.T) {
	num := func(x float64) page.Part { return page.Num{Value: x, Style: page.Ratio} }
	for _, c := range []struct {
		r    verdict.Range
		want page.Sentence
	}{
		{verdict.Range{Low: 0.61, High: 4.2}, page.Sentence{num(0.61), page.Word(" to "), num(4.2)}},
		{verdict.Range{Low: 0.0848, High: 189440},
			page.Sentence{num(0.0848), page.Word(" to "), page.Word("far more than this series can say")}},
		{verdict.Range{Low: 7e-7, High: 218}, page.Sentence{page.Word("next to nothing"), page.Word(" to "), num(218)}},
		{verdict.Range{Low: 7e-7, High: math.Inf(1)}, page.Sentence{page.Word("next to nothing"), page.Word(" to "),
			page.Word("far more than this series can say")}},
		{verdict.Range{Low: math.NaN(), High: math.NaN()}, page.Sentence{page.Word("not known")}},
	} {
		got := oddsRange(c.r)
		if len(got) != len(c.want) {
			t.Errorf("%v: %v, want %v", c.r, got, c.want)
			continue
		}
		for i := range got {
			if got[i] != c.want[i] {
				t.Errorf("%v: part %d is %v, want %v", c.r, i, got[i], c.want[i])
			}
		}
	}
}
