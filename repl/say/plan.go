package say

import (
	"breakbook/repl/page"
)

// WorkshopMost is the number of specimens of one kind from which on a sentence names none: no
// workshop makes more. The figures of a result keep it.
const WorkshopMost = 10_000

// Plan is how many specimens a series to come needs.
type Plan struct {
	What        page.Sentence // "to show a difference of 40 N in load"
	Factors     string        // "levels of pins"; empty: one kind of joint
	PerLevel, N int
	Chance      float64
	Wanted      float64
	SD, HighSD  float64 // NaN where there is none
	Unit        string
	HighChance  float64
	Logged      bool    // the sds are those of logarithms
	Blanks      bool    // the number was given, not looked for
	Blocks      *Layout // nil: the plan knows of none
	Stages      int     // that they are made in; 0: all at once
}

// Sentence tells the plan: how many, for what, with what chance.
func (p Plan) Sentence() page.Sentence {
	of := "specimens"
	if p.Factors != "" {
		of = "specimens of each of the " + p.Factors
	}
	s := page.Say("Make ", p.PerLevel, " "+of)
	if p.Stages > 0 {
		s = page.Say("Make at most ", p.PerLevel, " "+of)
	}
	if p.PerLevel > WorkshopMost {
		s = page.Say("More " + of + " than a workshop can make,")
	} else if p.Factors != "" {
		s = append(s, page.Say(", ", p.N, " in all,")...)
	}
	if p.Blocks != nil && !p.Blocks.Singles && p.PerLevel <= WorkshopMost {
		s = append(s, page.Say(" from ", p.Blocks.Blocks, " values of "+p.Blocks.Block+",")...)
	}
	if p.Stages > 0 {
		s = append(s, page.Say(" in ", p.Stages, " stages,")...)
	}
	s = append(s, page.Word(" "))
	s = append(s, p.What...)
	s = append(s, page.Say(": the chance is ", page.Num{Value: p.Chance, Style: page.Fraction})...)
	if p.Blanks && p.Chance < p.Wanted {
		s = append(s, page.Say(", less than the ", page.Num{Value: p.Wanted, Style: page.Fraction}, " asked for")...)
	}
	if p.SD == p.SD {
		s = append(s, page.Say(", with a spread (sd) of ", page.Num{Value: p.SD, Unit: p.Unit})...)
		if p.Logged {
			s = append(s, page.Word(" on the logarithm"))
		}
		if p.Blocks != nil && p.Blocks.Known && p.Blocks.SD > 0 && !p.Blocks.OneEach {
			s = append(s, page.Word(" within one "+p.Blocks.Block))
		}
	}
	return append(s, page.Word("."))
}

// IfSpreadHigh tells what the chance comes to were the spread larger; nil where it was given.
func (p Plan) IfSpreadHigh() page.Sentence {
	if p.HighChance != p.HighChance {
		return nil
	}
	if b := p.Blocks; b != nil && len(b.Whole) > 0 && b.SD > 0 && !b.OneEach {
		return page.Say("Both spreads are themselves estimates: were they at the upper end of what these specimens "+
			"allow, the chance would be ",
			page.Num{Value: p.HighChance, Style: page.Fraction}, ".")
	}
	return page.Say("The spread is itself an estimate: were it ", page.Num{Value: p.HighSD, Unit: p.Unit},
		", the upper end of what these specimens allow, the chance would be ",
		page.Num{Value: p.HighChance, Style: page.Fraction}, ".")
}

// ChanceAlt tells what a picture of the chance against the number of specimens shows: the
// plan's own chance, and that of the fewest and most specimens drawn.
func (p Plan) ChanceAlt(fewest int, least float64, most int, highest float64) page.Sentence {
	of := "specimens"
	if p.Factors != "" {
		of = "specimens of each of the " + p.Factors
	}
	s := append(page.Say("The chance "), p.What...)
	s = append(s, page.Say(" against the number of "+of+": ", page.Num{Value: least, Style: page.Fraction}, " with ",
		fewest, ", ",
		page.Num{Value: p.Chance, Style: page.Fraction}, " with the ", p.PerLevel, " of the plan, ",
		page.Num{Value: highest, Style: page.Fraction}, " with ", most, ". The line across is the ",
		page.Num{Value: p.Wanted, Style: page.Fraction}, " asked for")...)
	if p.HighChance == p.HighChance {
		s = append(s, page.Say("; dashed, were the spread ", page.Num{Value: p.HighSD, Unit: p.Unit},
			", the upper end of what the specimens allow")...)
	}
	return append(s, page.Word("."))
}
