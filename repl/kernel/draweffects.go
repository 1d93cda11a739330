package kernel

import (
	"math"
	"unicode/utf8"

	"gonum.org/v1/gonum/stat"

	"breakbook/models/design"
	"breakbook/models/exact"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
)

// drawEffects shows what each row of a fit does, with its range, beside no effect at all.
// Levels are set against their baseline; a number column is taken one standard deviation of
// the specimens above its mean, so that all rows can be compared.
func drawEffects(k *call, cmd *phrase.DrawEffects) (*outcome, error) {
	f, err := k.fitNamed(cmd.Fit)
	if err != nil {
		return nil, err
	}
	name := cmd.Fit.Text
	measure, unit := f.response.expected(), f.response.unit()
	if f.response.logged() {
		measure, unit = f.response.measure(), "percent"
	}
	fig, err := k.picture("Effects of the terms of "+name+" on "+measure, cmd.Picture)
	if err != nil {
		return nil, err
	}
	fig.X, fig.Y = page.Axis{Label: f.effectsAxis()}, page.Axis{Label: "Effect on " + measure, Unit: unit}
	fig.Layers = []page.Layer{page.Rule{Y: 0, Label: "no effect"}}
	var told []say.Effect
	for i, c := range f.Coefficients {
		if c.Label.Term < 0 || c.Dependent {
			continue
		}
		w := make([]float64, len(f.Coefficients))
		w[i] = f.step(c.Label)
		e, ok := f.Combination(w)
		if !ok || !(e.SE > 0) {
			continue
		}
		low, high := limits(e, k.confidence())
		one := say.Effect{Row: rowName(f.model(), c.Label), Value: e.Value, Low: low, High: high, PerSD: f.hasNumber(c.Label)}
		if f.response.logged() {
			one.Value, one.Low, one.High = 100*math.Expm1(e.Value), 100*math.Expm1(low), 100*math.Expm1(high)
		}
		label := f.effectLabel(c.Label, one.Row)
		if one.PerSD {
			label += ", +1 sd"
		}
		fig.Layers = append(fig.Layers, page.Interval{X: float64(len(told)), Mean: one.Value, Low: one.Low, High: one.High})
		fig.X.Levels = append(fig.X.Levels, label)
		told = append(told, one)
	}
	if len(told) == 0 {
		return nil, &page.Problem{Code: "no-effects", At: cmd.Fit.At, Message: name + " has no term whose effect and range could be drawn"}
	}
	fig.Note = say.BarsNote("effect", k.confidence())
	fig.Alt = say.EffectsAlt(measure, unit, k.confidence(), told, f.spreads())
	return k.drawn(fig)
}

// longEffect is how many characters a row's name may have before its level goes first.
const longEffect = 24

// effectLabel names a row on the axis: a long one begins with the level, since the end of
// it may be cut off, and a column's name tells no two levels apart.
func (f *fitted) effectLabel(l design.Label, row string) string {
	factors := f.model().Terms[l.Term].Factors
	if len(factors) != 1 || utf8.RuneCountInString(row) <= longEffect {
		return row
	}
	v := f.model().Variables[factors[0].Variable]
	if !v.IsCategory() {
		return row
	}
	return v.Levels[l.Levels[0]] + " (" + v.Name + ")"
}

// effectsAxis says what the effects are against.
func (f *fitted) effectsAxis() string {
	levels, numbers := "", false
	for _, v := range f.model().Variables {
		if !v.IsCategory() {
			numbers = true
			continue
		}
		if levels != "" {
			levels += ", "
		}
		levels += v.Name + " " + v.Levels[f.baselineLevel(v)]
	}
	switch {
	case f.model().ThroughZero:
		levels = "Through zero"
	case levels != "":
		levels = "Against " + levels
	}
	step := "+1 sd: a number one standard deviation above its mean"
	switch {
	case !numbers:
		return levels
	case levels == "":
		return step
	}
	return levels + "; " + step
}

// baselineLevel is the first level of a category that a specimen of the fit has.
func (f *fitted) baselineLevel(v design.Variable) int {
	first := len(v.Levels) - 1
	for _, c := range v.Codes {
		first = min(first, c)
	}
	return first
}

// step is how far a row's column goes when each number factor of the row goes from the mean
// of its variable to one standard deviation above; 1 for a row of levels alone.
func (f *fitted) step(l design.Label) float64 {
	step := 1.0
	for _, factor := range f.model().Terms[l.Term].Factors {
		v := f.model().Variables[factor.Variable]
		if v.IsCategory() {
			continue
		}
		mean := f.Matrix.Mean(factor.Variable)
		up := f.Matrix.At(factor, mean.Add(exact.Of(f.spread(v)))).Sub(f.Matrix.At(factor, mean))
		step *= up.Float()
	}
	return step
}

// spread is the standard deviation of a number column over the specimens of the fit.
func (f *fitted) spread(v design.Variable) float64 { return stat.StdDev(v.Numbers, nil) }

func (f *fitted) hasNumber(l design.Label) bool {
	for _, factor := range f.model().Terms[l.Term].Factors {
		if !f.model().Variables[factor.Variable].IsCategory() {
			return true
		}
	}
	return false
}

// spreads are the steps of the number columns, to be told.
func (f *fitted) spreads() []say.ColumnStep {
	var out []say.ColumnStep
	for _, v := range f.model().Variables {
		if !v.IsCategory() {
			out = append(out, say.ColumnStep{Column: v.Name, Unit: v.Unit, SD: f.spread(v)})
		}
	}
	return out
}

// drawAdjusted shows the mean of each level of a fit on the same footing, with its range,
// over the specimens' own values.
func drawAdjusted(k *call, cmd *phrase.DrawAdjusted) (*outcome, error) {
	f, variable, _, fam, err := k.footing(cmd.LevelsOfFit, false)
	if err != nil {
		return nil, err
	}
	c, _ := f.sample.frame.Column(cmd.A.Column)
	fig, err := k.picture("Adjusted "+f.response.expected()+" by "+inSentence(c)+", of "+cmd.Fit.Text, cmd.Picture)
	if err != nil {
		return nil, err
	}
	fig.X, fig.Y = axisOf(c), f.response.axis()
	points := page.Points{Faint: true}
	var means []page.Layer
	var told []say.AdjustedMean
	estimates := f.levelEstimates(variable)
	for i, level := range f.Matrix.Present[variable] {
		n := 0
		for row, code := range f.model().Variables[variable].Codes {
			if code != level || f.model().Weight(row) == 0 {
				continue
			}
			n++
			points.X, points.Y = append(points.X, float64(i)), append(points.Y, f.response.values[row])
			points.Looks, points.Names = append(points.Looks, lookOf(c, fam.names[i])), append(points.Names, f.sample.frame.SpecimenName(row))
		}
		low, high := limits(estimates[i], k.confidence())
		fig.X.Levels, fig.X.Counts = append(fig.X.Levels, fam.names[i]), append(fig.X.Counts, n)
		means = append(means, page.Interval{X: float64(i), Mean: estimates[i].Value, Low: low, High: high})
		told = append(told, say.AdjustedMean{Level: fam.names[i], N: n, Mean: estimates[i].Value, Low: low, High: high})
	}
	fig.Layers = append([]page.Layer{points}, means...)
	fig.Note = say.AdjustedNote(k.confidence())
	fig.Alt = say.AdjustedAlt(f.response.expected(), f.response.unit(), c.Name, k.confidence(), told)
	return k.drawn(fig)
}
