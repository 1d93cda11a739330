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
	Enough                 int    // of `cannot tell`
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
	if p.Enough == 0 {
		return append(s, page.Word("; no number of specimens within reason would settle it."))
	}
	return append(s, page.Say("; were the two alike, about ", p.Enough,
		" specimens per level would very likely show it.")...)
}
