package say

import (
	"math"

	"breakbook/models/verdict"
	"breakbook/repl/page"
)

// Odds is how the chance of a mode differs between two levels, or between the ends of a number's range.
type Odds struct {
	Mode          string // "failure is glue"
	Among         string // "of the joints that broke in wood or glue", or "of joints"
	First, Second page.Sentence
	Chances       [2]float64
	Counted       [2]Counted // where both are levels
	Ratio         float64    // odds of Second over those of First
	Range         verdict.Range
	Confidence    float64
	Family        string
	Probability   float64
	Answer        verdict.Answer
	Worth         Worth
	Enough        Enough
	Number        string // what rises, for the ends of a number's range
	Of            string // the key of the difference, for what is held against its answer
	Inner         bool   // these are two values of the number, not the ends of what was seen
}

// Counted is how many of a level's specimens failed so, of those that could have.
type Counted struct{ Failed, Of int }

// chance is a chance by the fit with what was counted beside it.
func (o Odds) chance(i int, among string) page.Sentence {
	c := o.Counted[i]
	return page.Say(page.Share(o.Chances[i]), among, page.If(c.Of > 0, " (counted: ", c.Failed, " of ", c.Of, ")"))
}

// Sentence tells the chances first, then the odds ratio, the probability and the answer.
func (o Odds) Sentence() page.Sentence {
	var s page.Sentence
	switch {
	case o.Number == "":
		s = page.Say("With ", o.Second, ", by the fit, "+o.Mode+" in ", o.chance(1, " "+o.Among), ", against ",
			o.chance(0, ""), " with ", o.First)
	case o.Inner:
		s = page.Say("From "+o.Number+" ", o.First, " to ", o.Second, ", by the fit, the chance that "+o.Mode+
			" goes from ", o.chance(0, ""), " to ", o.chance(1, ""))
	default:
		s = page.Say("From the lowest "+o.Number+" seen (", o.First, ") to the highest (", o.Second, "), by the fit, "+
			o.Mode+" in ", o.chance(0, " "+o.Among), " at the one end and in ", o.chance(1, ""), " at the other")
	}
	return page.Say(s, "; odds ratio ", page.Num{Value: o.Ratio, Style: page.Ratio}, " (", page.Share(o.Confidence),
		" interval ", oddsRange(o.Range), page.If(o.Family != "", ", "+o.Family), ")",
		page.If(!math.IsNaN(o.Probability), ", ", page.Chance(o.Probability)), ": ",
		page.Verdict{Words: o.Answer.Key(), More: More(Gap{Answer: o.Answer, Worth: o.Worth, Enough: o.Enough}),
			Of: o.Of}, ".")
}

// Terse tells them in a line: the chance at the second, and how far it moves from the first, in percentage
// points with its interval.
func (o Odds) Terse(moves float64, r verdict.Range) page.Sentence {
	word, low, high := " percentage points more than ", r.Low, r.High
	if moves < 0 {
		word, low, high = " percentage points less than ", -r.High, -r.Low
	}
	second, first := o.Second, o.First
	if o.Number != "" {
		second, first = page.Say(o.Number+" ", o.Second), page.Say("at ", o.First)
	}
	points := func(x float64) page.Num { return page.Num{Value: x, Resolution: high - low} }
	ends := func(x float64) page.Num { return page.Num{Value: x, Resolution: high - low, End: true} }
	return page.Say(second, ": by the fit, "+o.Mode+" in ", o.chance(1, ""), ", ", points(math.Abs(moves)), word, first,
		" (from ", ends(low), " to ", ends(high), "): ", page.Verdict{Words: o.Answer.Key(), Of: o.Of}, ".")
}

// OddsTogether is several pairs of levels between which the chance of a mode cannot be told to differ.
type OddsTogether struct {
	Mode, Among string
	Levels      []LevelChance
	Pairs       int
	Other       bool // pairs of these levels were told before
	Family      string
	Probability float64 // the smallest of the pairs'
	Worth       Worth
	Enough      Enough // of the pair that needs most
}

// LevelChance is the chance of a mode at one level.
type LevelChance struct {
	Level   page.Sentence
	Chance  float64
	Counted Counted
}

// Sentence tells the chance at each level, then the smallest probability and what would settle all.
func (o OddsTogether) Sentence() page.Sentence {
	among := " " + o.Among // with the first
	levels := page.Joined(o.Levels, "; ", func(l LevelChance) page.Sentence {
		one := Odds{Chances: [2]float64{l.Chance}, Counted: [2]Counted{l.Counted}}
		s := page.Say(one.chance(0, among), " with ", l.Level)
		among = ""
		return s
	})
	pairs := " pairs of levels"
	if o.Other {
		pairs = " other pairs of levels"
	}
	return page.Say("By the fit, "+o.Mode+" in ", levels, ". Of the ", o.Pairs, pairs+", the clearest has ",
		page.Chance(o.Probability), page.If(o.Family != "", " ("+o.Family+")"), ": ",
		Answer(verdict.CannotTell, o.Worth, o.Enough))
}

// beyondTelling is the odds ratio past which an end of an interval is said in words: that the odds
// may be a thousand times as large is all that a series says with it. The table has the number.
const beyondTelling = 1000

func oddsRange(r verdict.Range) page.Sentence {
	if math.IsNaN(r.Low) || math.IsNaN(r.High) {
		return page.Say("not known")
	}
	low, high := page.Say(page.Num{Value: r.Low, Style: page.Ratio}),
		page.Say(page.Num{Value: r.High, Style: page.Ratio})
	if r.Low < 1.0/beyondTelling {
		low = page.Say("next to nothing")
	}
	if r.High > beyondTelling {
		high = page.Say("far more than this series can say")
	}
	return page.Say(low, " to ", high)
}
