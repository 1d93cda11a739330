package say

import (
	"math"

	"breakbook/models/verdict"
	"breakbook/repl/page"
)

// OneStory tells whether several series have one mean: how far they lie apart beyond
// their own scatter.
func OneStory(measure string, series int, betweenSD float64, unit string, q float64) page.Sentence {
	switch {
	case q < Alarm:
		return page.Say("The ", series, " series do not tell one story of "+measure+": they differ by more than their own scatter allows, by ",
			page.Num{Value: betweenSD, Unit: unit}, " (sd) between series, ", page.Chance(q), ".")
	case betweenSD > 0:
		return page.Say("The ", series, " series may tell one story of "+measure+": they lie ", page.Num{Value: betweenSD, Unit: unit},
			" (sd) further apart than their own scatter makes them, which chance could do, ", page.Chance(q), ".")
	}
	return page.Say("The ", series, " series tell one story of "+measure+", as far as they can show: they differ no more than their own scatter makes them, ",
		page.Chance(q), ".")
}

// Jointly tells the mean over series, and what it would be if they all had one truth.
func Jointly(measure string, mean float64, r verdict.Range, unit string, confidence float64, fixed verdict.Range) page.Sentence {
	return page.Say("Together they put "+measure+" at ", page.Num{Value: mean, Unit: unit, Resolution: (r.High - r.Low) / 2}, " (",
		page.Num{Value: confidence, Style: page.Fraction}, " range ", page.Span{Low: r.Low, High: r.High, Unit: unit},
		"); were there one truth behind all series, ", page.Span{Low: fixed.Low, High: fixed.High, Unit: unit}, ".")
}

// NearlyEmpty warns of a range from two series.
func NearlyEmpty() page.Sentence {
	return page.Say("Two series say almost nothing of how series differ: their range is nearly empty of meaning. A third would narrow it more than any number of specimens.")
}

// Added tells what one more series did to the range of the mean or effect over series.
func Added(series string, before, after verdict.Range, unit string, style page.Style) page.Sentence {
	was, is := (before.High-before.Low)/2, (after.High-after.Low)/2
	num := func(x float64) page.Num { return page.Num{Value: x, Unit: unit, Style: style} }
	switch {
	case is < 0.95*was:
		return page.Say(series+" narrowed what the series before it said together from ± ", num(was), " to ± ", num(is), ".")
	case is > 1.05*was:
		return page.Say(series+" widened what the series before it said together from ± ", num(was), " to ± ", num(is), ": it does not fit in with them.")
	}
	return page.Say(series+" left what the series before it said together as wide as it was, ± ", num(is), ".")
}

// Newest tells how the newest series stands to those before it.
func Newest(series string, alone, without verdict.Range, unit string, style page.Style) page.Sentence {
	span := func(r verdict.Range) page.Span { return page.Span{Low: r.Low, High: r.High, Unit: unit, Style: style} }
	s := page.Say("The newest, "+series+", alone: ", span(alone), "; the series before it: ", span(without))
	if alone.Low > without.High || alone.High < without.Low {
		return append(s, page.Word(". These do not overlap: something was different this time."))
	}
	return append(s, page.Word("."))
}

// Repeated is a difference over several series: size, range, probability, answer.
func (g Gap) Repeated(series int) page.Sentence {
	s := page.Say("Over ", series, " series, with ", g.With, " "+g.Measure+" is ")
	s = append(s, g.size(g.Value)...)
	s = append(s, page.Say(" than with ", g.Than, " (")...)
	s = append(s, g.span()...)
	s = append(s, page.Say("), ", page.Chance(g.Probability), ": ")...)
	if g.Answer == verdict.CannotTell && g.Worth.Value > 0 {
		size := page.Num{Value: g.Worth.Value, Unit: g.Worth.Unit, Style: g.Worth.Style, Resolution: math.Abs(g.Worth.Value)}
		return append(s, page.Say("cannot tell whether there is ", size, " in it; another series would settle more than more specimens of one.")...)
	}
	return append(s, Answer(g.Answer, g.Worth, Enough{})...)
}

// LeftOutSeries names series that could not take part.
func LeftOutSeries(names []string, why string) page.Sentence {
	return page.Say(Listed(names) + plural(len(names), " was", " were") + " left out: " + why + ".")
}
