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
	Of                     string // the key of the difference, for what is held against its answer
	Beyond                 bool   // the difference seen is larger than the margin
	Enough, Have           int    // of `cannot tell`: how many per level, and how many there are
}

// Sentence tells the pair as any difference is told: size, interval, margin, answer.
func (p SamePair) Sentence() page.Sentence {
	g := Gap{Value: p.Diff, Range: verdict.Range{Low: p.Low, High: p.High}, Unit: p.Unit, Style: p.Style,
		Confidence: 0.90}
	return page.Say("With "+p.Second+", "+p.Measure+" is ", g.size(), " than with "+p.First+" (", g.span(),
		"); tested against ", p.Margin, " (", page.Chance(p.P), "): ",
		page.Verdict{Words: p.Answer, More: p.more(), Of: p.Of}, ".")
}

// likelyFurther follows an answer about two levels that are further apart than the margin, if not surely so.
const likelyFurther = page.Word("; they are more likely further apart than that")

// more is what the difference seen leans to, and how many specimens would show that the two are alike, where neither
// can be told.
func (p SamePair) more() page.Sentence {
	if p.Answer != verdict.CannotTell.Key() {
		return nil
	}
	if p.Beyond {
		return append(page.Sentence{likelyFurther}, p.settling()...)
	}
	return p.settling()
}

// settling is how many specimens would show that the two are alike.
func (p SamePair) settling() page.Sentence {
	switch {
	case p.Enough == 0 || p.Enough > farMore*p.Have:
		return page.Say("; to show that the two are alike takes far more specimens than a workshop would make")
	case p.Enough <= p.Have && p.Beyond:
		return page.Say(": a series of this size would usually show two that are alike")
	case p.Enough <= p.Have:
		return page.Say("; were the two alike, a series of this size would usually show it, and this one fell " +
			"just short: break a few more")
	}
	return page.Say("; were the two alike, about ", rounded(p.Enough),
		" specimens per level, of which you have ", p.Have, ", would probably show it")
}
