package say

import "breakbook/repl/page"

// Limit is the characteristic value of one level.
type Limit struct {
	Level string // "pins pair"
	Value float64
	N     int
}

// Limits tells what all but a few joints of each level exceed.
func Limits(measure string, levels []Limit, unit string, exceeded, confidence float64) page.Sentence {
	var s page.Sentence
	for i, l := range levels {
		if i == 0 {
			s = page.Say("With "+l.Level+", ", page.Num{Value: exceeded, Style: page.Fraction}, " of such joints exceed ",
				page.Num{Value: l.Value, Unit: unit}, " in "+measure)
		} else {
			s = append(s, page.Say("; with "+l.Level+", ", page.Num{Value: l.Value, Unit: unit})...)
		}
		s = append(s, page.Say(" (", l.N, " specimens)")...)
	}
	return append(s, page.Say(". Each is set low enough, for the number of specimens it rests on, to be said with ",
		page.Num{Value: confidence, Style: page.Fraction}, " confidence.")...)
}

// LowestLimit tells the lowest characteristic value of all levels.
func LowestLimit(measure string, l Limit, unit string, exceeded float64) page.Sentence {
	return page.Say("the lowest "+measure+" that ", page.Num{Value: exceeded, Style: page.Fraction}, " of joints exceed is ",
		page.Num{Value: l.Value, Unit: unit}, ", with "+l.Level+".")
}

// NoLimit says that ranks give no limit with so few specimens.
func NoLimit(least int, exceeded, confidence float64) page.Sentence {
	return page.Say("There is no limit by ranks: what ", page.Num{Value: exceeded, Style: page.Fraction}, " of joints exceed takes at least ", least,
		" specimens a level to say with ", page.Num{Value: confidence, Style: page.Fraction}, " confidence, when nothing is assumed of how they scatter.")
}

// NoDesignValue is the caution every characteristic value carries.
func NoDesignValue() page.Sentence {
	return page.Say("These figures describe the joints of this series and are no design values: what a joint may be trusted to carry is for local codes and licensed practice to decide.")
}

// TooFewForLimit names levels that are left without a limit.
func TooFewForLimit(levels string, least int) page.Sentence {
	return page.Say("No limit for "+levels+": it takes at least ", least, " specimens a level.")
}

// TooFewForRanks names levels that ranks leave without a limit.
func TooFewForRanks(levels string, least int) page.Sentence {
	return page.Say("No limit by ranks for "+levels+": that takes at least ", least, " specimens a level.")
}

// FewForLimit names levels whose limit rests on few specimens.
func FewForLimit(levels string, least int) page.Sentence {
	return page.Say("Under ", least, " specimens: "+levels+". The factor k allows for that, but it cannot allow for loads that scatter otherwise than is assumed.")
}

// SpreadFloored names levels that scattered less than is believed of any joint.
func SpreadFloored(levels string, least float64) page.Sentence {
	return page.Say("The specimens of "+levels+" scatter by less than ", page.Num{Value: least, Style: page.Fraction},
		"; that is taken as the least, since few specimens can be alike by luck.")
}
