package say

import (
	"breakbook/models/verdict"
	"breakbook/repl/page"
)

// SamePair is two levels tested against a margin.
type SamePair struct {
	Measure, First, Second string // "break load", "pins none", "pins pair"
	Diff, Low, High        float64
	Unit                   string
	Style                  page.Style // Fraction for percents of first's mean
	Margin                 page.Sentence
	P                      float64
	Answer                 string // in the words of the language
	Enough, Have           int    // of `cannot tell`: how many per level, and how many there are
}

// Sentence tells the pair as any difference is told: size, interval, margin, answer.
func (p SamePair) Sentence() page.Sentence {
	g := Gap{Value: p.Diff, Range: verdict.Range{Low: p.Low, High: p.High}, Unit: p.Unit, Style: p.Style, Confidence: 0.90}
	s := page.Say("With "+p.Second+", "+p.Measure+" is ", g.size(p.Diff), " than with "+p.First+" (", g.span(),
		"); tested against ", p.Margin,
		" (", page.Chance(p.P), "): "+p.Answer)
	if p.Answer != "cannot tell" {
		return append(s, page.Word("."))
	}
	switch {
	case p.Enough == 0 || p.Enough > farMore*p.Have:
		return append(s, page.Word("; to show that the two are alike takes far more specimens than a workshop would make."))
	case p.Enough <= p.Have:
		return append(s, page.Word("; were the two alike, a series of this size would usually show it, and this one fell "+
			"just short: break a few more."))
	}
	return append(s, page.Say("; were the two alike, about ", rounded(p.Enough),
		" specimens per level, of which you have ",
		p.Have, ", would probably show it.")...)
}
