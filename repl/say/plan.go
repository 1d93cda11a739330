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
	Asked, Step int     // per level, where the number given is no multiple of what boards and stages need; 0: it is
}

// of names what is counted.
func (p Plan) of() string {
	if p.Factors == "" {
		return "specimens"
	}
	return "specimens of each of the " + p.Factors
}

// Sentence tells the plan: how many, for what, with what chance.
func (p Plan) Sentence() page.Sentence {
	b := Layout{Singles: true}
	if p.Blocks != nil {
		b = *p.Blocks
	}
	lead := "Make "
	if p.Stages > 0 {
		lead = "Make at most "
	}
	s := page.Say(lead, p.PerLevel, " "+p.of(), page.If(p.Factors != "", ", ", p.N, " in all,"),
		page.If(!b.Singles, " from ", b.Blocks, " values of "+b.Block+","))
	if p.PerLevel > WorkshopMost {
		s = page.Say("More " + p.of() + " than a workshop can make,")
	}
	return page.Say(s, page.If(p.Stages > 0, " in ", p.Stages, " stages,"), " ", p.What, ": the chance is ",
		page.Share(p.Chance), page.If(p.Blanks && p.Chance < p.Wanted, ", less than the ", page.Share(p.Wanted),
			" asked for"), page.If(p.SD == p.SD, ", with a spread (sd) of ", page.Difference(p.SD, p.Unit),
			page.If(p.Logged,
				" on the logarithm"), page.If(b.Known && b.SD > 0 && !b.OneEach, " within one "+b.Block)), ".",
		page.If(p.Asked > 0, " ", p.Asked, " of each is not a multiple of ", p.Step, ", as ",
			page.If(len(b.Whole) > 0, "whole values of "+b.Block), page.If(len(b.Whole) > 0 && p.Stages > 0, " in "),
			page.If(p.Stages > 0, p.Stages, " equal stages"), " require."))
}

// IfSpreadHigh tells what the chance comes to were the spread larger; nil where it was given.
func (p Plan) IfSpreadHigh() page.Sentence {
	if p.HighChance != p.HighChance {
		return nil
	}
	if b := p.Blocks; b != nil && len(b.Whole) > 0 && b.SD > 0 && !b.OneEach {
		return page.Say("Both spreads are themselves estimates: were they at the upper end of what these specimens "+
			"allow, the chance would be ", page.Share(p.HighChance), ".")
	}
	return page.Say("The spread is itself an estimate: were it ", page.Difference(p.HighSD, p.Unit),
		", the upper end of what these specimens allow, the chance would be ", page.Share(p.HighChance), ".")
}

// ChanceAlt tells what a picture of the chance against the number of specimens shows: the
// plan's own chance, and that of the fewest and most specimens drawn.
func (p Plan) ChanceAlt(fewest int, least float64, most int, highest float64) page.Sentence {
	return page.Say("The chance ", p.What, " against the number of "+p.of()+": ", page.Share(least), " with ",
		fewest, ", ", page.Share(p.Chance), " with the ", p.PerLevel, " of the plan, ", page.Share(highest), " with ",
		most, ". The line across is the ", page.Share(p.Wanted), " asked for", page.If(p.HighChance == p.HighChance,
			"; dashed, were the spread ", page.Difference(p.HighSD, p.Unit),
			", the upper end of what the specimens allow"),
		".")
}
