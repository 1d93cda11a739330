package say

import "breakbook/repl/page"

// Effect is one row of a picture of effects; PerSD where a number column is in it.
type Effect struct {
	Row              string
	Value, Low, High float64
	PerSD            bool
}

// ColumnStep is how far a number column is taken for its effect: one standard deviation.
type ColumnStep struct {
	Column, Unit string
	SD           float64
}

// EffectsAlt tells what a picture of a fit's effects shows.
func EffectsAlt(measure, unit string, confidence float64, rows []Effect, steps []ColumnStep) page.Sentence {
	s := page.Say("The effect of each term on "+measure+", with its ", page.Num{Value: confidence, Style: page.Fraction}, " range, beside no effect at all: ")
	for i, r := range rows {
		if i > 0 {
			s = append(s, page.Word("; "))
		}
		s = append(s, page.Say(r.Row+" ", page.Num{Value: r.Value, Unit: unit, Resolution: (r.High - r.Low) / 2, Signed: true},
			" (", page.Span{Low: r.Low, High: r.High, Unit: unit}, ")")...)
	}
	for i, step := range steps {
		join := ", "
		if i == 0 {
			join = ". Number columns are taken one standard deviation above their mean: "
		}
		s = append(s, page.Say(join+step.Column+" by ", page.Num{Value: step.SD, Unit: step.Unit})...)
	}
	return append(s, page.Word("."))
}

// AdjustedMean is one level of a picture of adjusted means.
type AdjustedMean struct {
	Level           string
	N               int
	Mean, Low, High float64
}

// AdjustedAlt tells what a picture of adjusted means shows.
func AdjustedAlt(measure, unit, by string, confidence float64, levels []AdjustedMean) page.Sentence {
	s := page.Say("The mean "+measure+" of each level of "+by+" on the same footing, with its ", page.Num{Value: confidence, Style: page.Fraction},
		" range, over the specimens' own values: ")
	for i, l := range levels {
		if i > 0 {
			s = append(s, page.Word("; "))
		}
		s = append(s, page.Say(l.Level+" ", page.Num{Value: l.Mean, Unit: unit, Resolution: (l.High - l.Low) / 2},
			" (", page.Span{Low: l.Low, High: l.High, Unit: unit}, "; ", l.N, ")")...)
	}
	return append(s, page.Word("."))
}
