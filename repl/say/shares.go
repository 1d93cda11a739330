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
	most := p.Sentence()
	if !p.Alone {
		most = page.Say("the most goes to ", p.tail(": "))
	}
	return page.Say("Of "+whole+" the terms account for ", page.Share(explained), "; ", most)
}

// Sentence tells one factor's share.
func (p Part) Sentence() page.Sentence { return p.tail(" gets ") }

func (p Part) tail(joint string) page.Sentence {
	share := page.Say(p.Factor+joint, page.Share(p.Share))
	if p.Quick {
		return page.Say(share, ".")
	}
	return page.Say(share, page.If(p.Range.Known(), " (", page.Share(p.Confidence), " interval ",
		page.Span{Low: p.Range.Low, High: p.Range.High, Style: page.Fraction}, ")"), ", where no effect at all would "+
		"get about ", page.Share(p.ByChance), page.If(p.P == p.P, "; adjusted for the others, ", page.Chance(p.P)), ".")
}
