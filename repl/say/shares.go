package say

import (
	"strings"

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
		s = append(s, page.Say(" (", page.Num{Value: p.Confidence, Style: page.Fraction}, " range ",
			page.Span{Low: p.Range.Low, High: p.Range.High, Style: page.Fraction}, ")")...)
	}
	s = append(s, page.Say(", where no effect at all would get about ", page.Num{Value: p.ByChance, Style: page.Fraction})...)
	if p.P == p.P {
		s = append(s, page.Say("; once the others are allowed for, ", page.Chance(p.P))...)
	}
	return append(s, page.Word("."))
}

// SharedOut says that two factors went together, so that only what both get is sure.
func SharedOut(first, second string, strength, both float64) page.Sentence {
	return page.Say(first+" and "+second+" went together in these specimens (strength ", page.Num{Value: strength, Style: page.Ratio},
		" of 1): "+TogetherMeans(strength)+". What one of them gets the other might have; both together get ",
		page.Num{Value: both, Style: page.Fraction}, ".")
}

// SharesApart says that no two factors went together.
func SharesApart(least float64) page.Sentence {
	return page.Say("No two of these factors went together (strength ", page.Num{Value: least, Style: page.Exact},
		" of 1 or more), so their shares can be told apart.")
}

// SampledOrders says that not all orders of entry were gone through.
func SampledOrders(terms, orders int, within float64) page.Sentence {
	return page.Say("With ", terms, " terms there are too many orders of entry to go through: ", orders,
		" were drawn, and a share has a standard error of up to ", page.Num{Value: within, Style: page.Fraction}, " from that.")
}

// FixedWithin names factors that no reshuffle within blocks changes.
func FixedWithin(names []string, within string) page.Sentence {
	return page.Say(strings.Join(names, ", ") + plural(len(names), " does", " do") + " not vary" + within +
		": reshuffling within them cannot put " + plural(len(names), "it", "them") + " to the test.")
}

// SharesAlt tells what a picture of shares shows.
func SharesAlt(whole string, shares []LevelMean) page.Sentence {
	s := page.Say("What each factor gets of " + whole + ", with its range and what chance alone would give: ")
	for i, l := range shares {
		if i > 0 {
			s = append(s, page.Word("; "))
		}
		s = append(s, page.Say(l.Level+" ", page.Num{Value: l.Mean, Style: page.Fraction})...)
	}
	return append(s, page.Word("."))
}
