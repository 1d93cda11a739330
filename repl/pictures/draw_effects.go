package pictures

import (
	"math"
	"slices"
	"strings"
	"unicode/utf8"

	"gonum.org/v1/gonum/stat"

	"breakbook/models/design"
	"breakbook/models/exact"
	"breakbook/models/parallel"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
	"breakbook/repl/session/fitted"
)

// effect is one row of a picture of effects.
type effect struct {
	Row              string
	Value, Low, High float64
}

// columnStep is how far a number column is taken for its effect: one standard deviation.
type columnStep struct {
	Column, Unit string
	SD           float64
}

// effectsAlt tells what a picture of a fit's effects shows.
func effectsAlt(measure, unit string, confidence float64, rows []effect, steps []columnStep) page.Sentence {
	return page.Say("The effect of each term on "+measure+", with its ", page.Share(confidence),
		" interval, beside no effect at all: ", page.Joined(rows, "; ", func(r effect) page.Sentence {
			return page.Say(r.Row+", ", page.Num{Value: r.Value, Unit: unit, Resolution: (r.High - r.Low) / 2,
				Signed: true}, " (", page.Span{Low: r.Low, High: r.High, Unit: unit}, ")")
		}), page.If(len(steps) > 0, ". Number columns are taken one standard deviation above their mean: "),
		page.Joined(steps, ", ", func(s columnStep) page.Sentence {
			return page.Say(s.Column+" by ", page.In(s.SD, s.Unit))
		}), ".")
}

// adjustedMean is one level of a picture of adjusted means.
type adjustedMean struct {
	Level           string // with its unit where it is a number
	N               int
	Mean, Low, High float64
}

// adjustedAlt tells what a picture of adjusted means, or medians as middle says, shows.
func adjustedAlt(middle, measure, unit, by string, confidence float64, levels []adjustedMean) page.Sentence {
	return page.Say("The "+middle+" "+measure+" of each level of "+by+" with the other factors held equal, and its ",
		page.Share(confidence), " interval, over the specimens, each as far from the "+middle+" as from what the "+
			"fit expects of it: ", page.Joined(levels, "; ", func(l adjustedMean) page.Sentence {
			return page.Say(l.Level+": ", page.Num{Value: l.Mean, Unit: unit, Resolution: (l.High - l.Low) / 2},
				" (", page.Span{Low: l.Low, High: l.High, Unit: unit}, "; ", l.N, ")")
		}), ".")
}

// DrawEffects shows what each row of a fit does, with its interval, beside no effect at all. Levels are compared with
// their baseline; a number column is taken one standard deviation of the specimens above its mean, so that all rows can
// be compared. A factor is shown within each setting of those it is combined with.
func DrawEffects(k *session.Call, cmd *phrase.DrawEffects) (*session.Outcome, error) {
	f, err := fitted.Named(k, cmd.Fit)
	if err != nil {
		return nil, err
	}
	name := cmd.Fit.Text
	measure, unit := f.Y.Expected(), page.DifferenceUnit(f.Y.Unit())
	if f.Y.Logged() {
		measure, unit = f.Y.Measure(), "percent"
	}
	fig, err := k.Picture("What each term does to "+measure, cmd.Picture)
	if err != nil {
		return nil, err
	}
	fig.Lying = true
	fig.X, fig.Y = page.Axis{Label: effectsAxis(f)}, page.Axis{Label: "Effect on " + measure, Unit: unit}
	worth, err := k.WorthOf(f.Y)
	if err != nil {
		return nil, err
	}
	stick := &session.Gaps{Worth: worth.Said, Unit: unit}
	if worth.Said.Style == page.Fraction {
		stick.Worth.Value *= 100
	}
	fig.Layers = measuringStick(stick)
	rows, err := effectRows(k, f)
	if err != nil {
		return nil, err
	}
	var drawn []effect
	for _, r := range rows {
		e, _ := f.Combination(k.Context, r.weights)
		if !(e.SE > 0) { // it cannot be estimated
			continue
		}
		low, high := session.IntervalOf(e, k.Confidence())
		one := effect{Row: r.name, Value: e.Value, Low: low, High: high}
		if f.Y.Logged() {
			one.Value, one.Low, one.High = 100*math.Expm1(e.Value), 100*math.Expm1(low), 100*math.Expm1(high)
		}
		fig.Layers = append(fig.Layers, page.Interval{X: float64(len(drawn)), Mean: one.Value, Low: one.Low,
			High: one.High})
		fig.X.Levels = append(fig.X.Levels, r.label)
		drawn = append(drawn, one)
	}
	if len(drawn) == 0 {
		return nil, page.Refuse(page.CodeNoEffects, cmd.Fit.At,
			name+" has no term whose effect and interval could be drawn", "")
	}
	fig.Note = append(say.BarsNote("effect", k.Confidence()), shadedNote(stick)...)
	if cmd.Size == nil {
		fig.WidthMM, fig.HeightMM = 160, min(300, max(60, 42+float64(7*len(drawn))))
	}
	fig.Alt = effectsAlt(measure, unit, k.Confidence(), drawn, spreads(f))
	return k.Drawn(fig)
}

// longEffect is how many characters a row's name may have before its level goes first.
const longEffect = 24

// effectLabel names a row on the axis: a long one begins with the level, since the end of
// it may be cut off, and a column's name tells no two levels apart.
func effectLabel(f *fitted.Fit, l design.Label, row string) string {
	factors := f.Model().Terms[l.Term].Factors
	if len(factors) != 1 || utf8.RuneCountInString(row) <= longEffect {
		return row
	}
	v := f.Model().Variables[factors[0].Variable]
	if !v.IsCategory() {
		return row
	}
	return v.Levels[l.Levels[0]] + " (" + v.Name + ")"
}

// effectsAxis says what the effects are against.
func effectsAxis(f *fitted.Fit) string {
	var baselines, parts []string
	numbers := false
	for i, v := range f.Model().Variables {
		if !v.IsCategory() {
			numbers = numbers || goes(f, i)
			continue
		}
		baselines = append(baselines, v.Name+" "+v.Levels[slices.Min(v.Codes)])
	}
	switch {
	case f.Model().ThroughZero:
		parts = append(parts, "Through zero")
	case len(baselines) > 0:
		parts = append(parts, "Against "+strings.Join(baselines, ", "))
	}
	if numbers {
		parts = append(parts, "+1 sd: a number one standard deviation above its mean")
	}
	return strings.Join(parts, "; ")
}

// step is how far a row's column goes when each number factor of the row goes from the mean of its variable to one
// standard deviation above, that of a kink all beyond its place; 1 for a row of levels alone, and for a jump.
func step(f *fitted.Fit, l design.Label) float64 {
	step := 1.0
	for _, factor := range f.Model().Terms[l.Term].Factors {
		v := f.Model().Variables[factor.Variable]
		switch {
		case v.IsCategory(), factor.Function == design.Step:
			continue
		case factor.Function == design.Kink:
			step *= spread(v)
			continue
		}
		mean := f.Matrix.Mean(factor.Variable)
		up := f.Matrix.At(factor, mean.Add(exact.Of(spread(v)))).Sub(f.Matrix.At(factor, mean))
		step *= up.Float()
	}
	return step
}

// goes reports whether a number is taken one standard deviation in some row: not where all there is of it is a jump.
func goes(f *fitted.Fit, variable int) bool {
	return slices.ContainsFunc(f.Model().Terms, func(t design.Term) bool {
		return slices.ContainsFunc(t.Factors, func(factor design.Factor) bool {
			return factor.Variable == variable && factor.Function != design.Step
		})
	})
}

// spread is the standard deviation of a number column over the specimens of the fit.
func spread(v design.Variable) float64 { return stat.StdDev(v.Numbers, nil) }

// spreads are the steps of the number columns, to be told.
func spreads(f *fitted.Fit) []columnStep {
	var out []columnStep
	for i, v := range f.Model().Variables {
		if !v.IsCategory() && goes(f, i) {
			out = append(out, columnStep{Column: v.Name, Unit: v.Unit, SD: spread(v)})
		}
	}
	return out
}

// DrawAdjusted shows the mean of each level of a fit with the other factors held equal, with its interval,
// over the specimens adjusted as well: the mean plus the residual of each. Of a logarithm all are taken back from it.
func DrawAdjusted(k *session.Call, cmd *phrase.DrawAdjusted) (*session.Outcome, error) {
	l, err := fitted.FactorOf(k, cmd.LevelsOfFit, false, nil)
	if err != nil {
		return nil, err
	}
	f, fam, variable := l.Fit, l.Family, l.Variable
	c, _ := f.Sample.Frame.Column(cmd.A.Column)
	fig, err := k.Picture("Adjusted "+f.Y.LevelSaid()+" by "+session.InSentence(c), cmd.Picture)
	if err != nil {
		return nil, err
	}
	fig.X, fig.Y = session.AxisOf(c), f.Y.Axis()
	middle, measure, plus := "mean", f.Y.Expected(), " (mean plus residual)"
	if f.Y.Logged() {
		fig.Y = session.AxisOf(f.Y.Medians())
		middle, measure, plus = "median", session.InSentence(f.Y.Medians()), ", as a ratio"
	}
	fig.Y.FromZero = cmd.FromZero
	points := roomFor(len(f.Residuals))
	points.Faint = true
	var means []page.Layer
	var levelMeans []adjustedMean
	for i, one := range l.Levels {
		low, high := session.IntervalOf(one.Estimate, k.Confidence())
		mean, low, high := f.Y.Level(one.Estimate.Value), f.Y.Level(low), f.Y.Level(high)
		label := fam.Names[i]
		said := strings.TrimSpace(label + " " + fam.LevelUnit)
		if within := fam.WithinAt(i); within != "" {
			said += ", " + within
			label = said
			fig.X.Unit = ""
		}
		n := 0
		for row, code := range f.Model().Variables[variable].Codes {
			parallel.LookAt(k.Context, row)
			if code != one.Level || !l.Holds(i, row) || f.Model().Weight(row) == 0 {
				continue
			}
			n++
			points.Add(float64(i), f.Y.Level(one.Estimate.Value+f.Residuals[row]), session.LookOf(c, fam.Names[i]),
				f.Sample.Frame.SpecimenName(row))
		}
		fig.X.Levels, fig.X.Counts = append(fig.X.Levels, label), append(fig.X.Counts, n)
		means = append(means, page.Interval{X: float64(i), Mean: mean, Low: low, High: high})
		levelMeans = append(levelMeans, adjustedMean{Level: said, N: n, Mean: mean, Low: low, High: high})
	}
	fig.Layers = append([]page.Layer{points}, means...)
	percentiles := slices.ContainsFunc(fam.Partners.Settings, func(w fitted.Within) bool {
		return len(w.Point.Numbers) > 0
	})
	fig.Note = page.Say("Black: the "+middle+" with the other factors held equal, and its ", page.Share(k.Confidence()),
		" interval; pale: each specimen as far from that "+middle+" as from what the fit expects of it"+plus,
		page.If(percentiles, ", at the nearer percentile"))
	fig.Alt = adjustedAlt(middle, measure, f.Y.LevelUnit(), c.Name, k.Confidence(), levelMeans)
	return k.Drawn(fig)
}
