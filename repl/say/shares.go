package say

import (
	"breakbook/models/verdict"
	"breakbook/repl/page"
)

// Part is what one factor gets of what a set of them explains.
type Part struct {
	Factor     string
	Share      float64 // of the whole
	Range      verdict.Range
	Confidence float64
	ByChance   float64
	P          float64 // NaN: not known
	Quick      bool    // only the share is known
	Alone      bool    // it is the only factor
}

// Lead tells how much all factors explain, and what the one with the most of it gets.
func (p Part) Lead(whole string, explained float64) page.Sentence {
	s := page.Say("Of "+whole+" the terms account for ", page.Num{Value: explained, Style: page.Fraction}, "; ")
	if p.Alone {
		return append(s, p.Sentence()...)
	}
	return append(append(s, page.Word("the most goes to ")), p.tail(": ")...)
}

// Sentence tells one factor's share.
func (p Part) Sentence() page.Sentence { return p.tail(" gets ") }

func (p Part) tail(joint string) page.Sentence {
	s := page.Say(p.Factor+joint, page.Num{Value: p.Share, Style: page.Fraction})
	if p.Quick {
		return append(s, page.Word("."))
	}
	if p.Range.Known() {
		s = append(s, page.Say(" (", page.Num{Value: p.Confidence, Style: page.Fraction}, " interval ",
			page.Span{Low: p.Range.Low, High: p.Range.High, Style: page.Fraction}, ")")...)
	}
	s = append(s, page.Say(", where no effect at all would get about ",
		page.Num{Value: p.ByChance, Style: page.Fraction})...)
	if p.P == p.P {
		s = append(s, page.Say("; adjusted for the others, ", page.Chance(p.P))...)
	}
	return append(s, page.Word("."))
}
