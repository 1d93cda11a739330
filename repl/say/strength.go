package say

import (
	"math"

	"breakbook/models/verdict"
	"breakbook/repl/page"
)

// Carried is the median load of one level, had one way of breaking been the only one.
type Carried struct {
	Level  string // "pins pair"; empty for all specimens together
	Median float64
	Range  verdict.Range
	Bounds verdict.Range // medians possible with nothing assumed

	BoundsRange verdict.Range // the same with the scatter of the specimens allowed for
}

// HadNothingElse tells what each level would have carried had nothing else given way first,
// and on what assumption that rests. mode is "failure was glue".
func HadNothingElse(mode string, levels []Carried, unit string, confidence float64) page.Sentence {
	s := page.Say("Had nothing else given way before " + mode + ", half of the specimens would have carried more than ")
	for i, l := range levels {
		if i > 0 {
			s = append(s, page.Word("; "))
		}
		s = append(s, carried(l, unit)...)
		if l.Level != "" {
			s = append(s, page.Word(" with "+l.Level))
		}
		s = append(s, page.Word(" ("))
		if i == 0 {
			s = append(s, page.Say(page.Num{Value: confidence, Style: page.Fraction}, " range ")...)
		}
		s = append(s, page.Span{Low: l.Range.Low, High: l.Range.High, Unit: unit}, page.Word(")"))
	}
	return append(s, page.Word(". This holds if, once the terms are allowed for, what a specimen bears in one mode has nothing to do with what it bears in another; these breaks cannot show whether that is so."))
}

func carried(l Carried, unit string) page.Sentence {
	if math.IsInf(l.Median, 1) {
		return page.Say("any load seen")
	}
	half := 0.0
	if l.Range.Known() {
		half = (l.Range.High - l.Range.Low) / 2
	}
	return page.Say(page.Num{Value: l.Median, Unit: unit, Resolution: half})
}

// WithoutAssuming tells between which loads the medians must lie whatever the strengths of a
// specimen have to do with each other: of these specimens, and with their scatter allowed for.
func WithoutAssuming(levels []Carried, unit string, confidence float64) page.Sentence {
	s := page.Say("With nothing assumed about that, half of the specimens would have carried more than some load")
	for i, l := range levels {
		if i > 0 {
			s = append(s, page.Word(";"))
		}
		switch {
		case l.Level == "":
		case i == 0:
			s = append(s, page.Word(": with "+l.Level))
		default:
			s = append(s, page.Word(" with "+l.Level))
		}
		s = append(s, page.Word(" "), page.Span{Low: l.Bounds.Low, High: l.Bounds.High, Unit: unit}, page.Word(" ("))
		if i == 0 {
			s = append(s, page.Say(page.Num{Value: confidence, Style: page.Fraction}, " range ")...)
		}
		s = append(s, page.Span{Low: l.BoundsRange.Low, High: l.BoundsRange.High, Unit: unit}, page.Word(")"))
	}
	return append(s, page.Word("."))
}

// EndedSo counts the breaks of the mode and the loads that are only lower bounds.
func EndedSo(mode string, ended, cut int) page.Sentence {
	if cut == 0 {
		return page.Say("The "+mode+" of all ", ended, " specimens: every load is a load at which it gave way.")
	}
	return page.Say("In ", ended, plural(ended, " specimen ", " specimens ")+mode+"; of the ", cut,
		plural(cut, " other the load is", " others the load is")+" only a lower bound.")
}

// Proper is the name of a distribution in a sentence: Weibull was a person.
func Proper(distribution string) string {
	if distribution == "weibull" {
		return Capital(distribution)
	}
	return distribution
}

// Scatters sets the two distributions against each other by their AICc.
func Scatters(used, other string, usedAICc, otherAICc float64) page.Sentence {
	d := usedAICc - otherAICc
	if d != d {
		return page.Say("There are too few specimens to set the " + Proper(used) + " distribution against the " + Proper(other) + " one.")
	}
	n := page.Num{Value: math.Abs(d), Style: page.Ratio}
	typed := other
	used, other = Proper(used), Proper(other)
	switch {
	case math.Abs(d) < 2:
		return page.Say("These breaks hardly tell the "+used+" distribution from the "+other+" one (AICc ", n, " apart).")
	case d < 0:
		return page.Say("The "+used+" distribution suits these breaks better than the "+other+" one (AICc lower by ", n, ").")
	default:
		return page.Say("The "+other+" distribution would suit these breaks better than the "+used+" one (AICc lower by ", n,
			"); to take it, put "+typed+" at the end of the line.")
	}
}

// TooFewBreaks names the levels that were left out because hardly any specimen broke so.
func TooFewBreaks(mode string, levels []string, breaks []int) page.Sentence {
	s := page.Say("Left out, for fewer than 3 specimens in which " + mode + ": ")
	for i, l := range levels {
		if i > 0 {
			s = append(s, page.Word("; "))
		}
		s = append(s, page.Say(l+" (", breaks[i], ")")...)
	}
	return append(s, page.Word("."))
}

// FewBreaks warns of a strength that rests on a few breaks.
func FewBreaks(mode string, n int) page.Sentence {
	return page.Say("In only ", n, " specimens "+mode+": one more such break could move these strengths a long way.")
}

// Endless names terms whose effect goes on for ever.
func Endless(rows string) page.Sentence {
	return page.Say("Nothing holds " + rows + " from one side: no specimen there broke so, and the fit goes on for ever. Such an effect is left empty, and its range has one end only.")
}

// RangeNotFound names what has a range, or a probability, that could not be found.
func RangeNotFound(rows string) page.Sentence {
	return page.Say("The range of " + rows + " was not found: the likelihood could not be followed that far. It is left empty; the other figures stand.")
}

// MixedModes tells, once a series, that loads of different ways of breaking are together.
func MixedModes(column string, modes []string, counts []int, measure, line string) page.Sentence {
	s := page.Say("These specimens did not all break alike (" + column + ": ")
	for i, m := range modes {
		if i > 0 {
			s = append(s, page.Word(", "))
		}
		s = append(s, page.Say(m+" ", counts[i])...)
	}
	s = append(s, page.Word("). This answers what the joint carries, by whichever part gives way first; what one part would carry is another question, since a "+
		measure+" at which another part gave way is only a lower bound for it. ISO 12122-5, for connections, takes it that all specimens of a sample fail in one mode."))
	if line != "" {
		s = append(s, page.Word(" For that question, type: "+line))
	}
	return s
}

// HoldingAlt tells what a picture of the share still holding shows.
func HoldingAlt(mode, measure, unit, by string, levels []Carried, fitted bool) page.Sentence {
	s := page.Say("The share of specimens still holding as the " + measure + " rises, until " + mode)
	if by != "" {
		s = append(s, page.Word(", by "+by))
	}
	s = append(s, page.Word(": steps for the specimens, no distribution assumed"))
	if fitted {
		s = append(s, page.Word(", dashed for the fit"))
	}
	for i, l := range levels {
		lead := "; "
		if i == 0 {
			lead = ". By the fit half hold "
		}
		s = append(s, page.Word(lead+"more than "))
		s = append(s, carried(l, unit)...)
		if l.Level != "" {
			s = append(s, page.Word(" with "+l.Level))
		}
	}
	return append(s, page.Word("."))
}

// AtLeast tells a gap that nothing holds from above.
func (g Gap) AtLeast() page.Sentence {
	s := page.Say("With ", g.With, ", nothing holds "+g.Measure+" from above; set against that with ", g.Than, " it is ")
	if g.Range.Low > 0 {
		s = append(s, page.Say("at least ", g.plain(g.Range.Low), " higher")...)
	} else {
		s = append(s, page.Say("from ", g.plain(-g.Range.Low), " lower upwards")...)
	}
	s = append(s, page.Say(" (", page.Num{Value: g.Confidence, Style: page.Fraction}, " range, no upper limit): ")...)
	return append(s, Answer(g.Answer, g.Worth, g.Enough)...)
}
