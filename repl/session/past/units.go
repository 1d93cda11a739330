package past

import (
	"context"
	"math"

	"breakbook/frames"
	"breakbook/models/parallel"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
)

// unitTolerance is how near the ratio of two medians must come to a factor between units of force to raise the
// suspicion, as a part of that factor's logarithm: a tenth of 2.2 times, a third of 9.81 times. The nearer a factor is
// to 1, the more often the joints of two series differ by as much on their own.
const unitTolerance = 0.125

// forceFactors are the ratios between the units that gauges show, from the exact definitions: the larger unit and the
// smaller one. Common practice, no source, that mixing shows as such a factor.
var forceFactors = []struct {
	factor         float64
	larger, lesser string
	explains       string
}{
	{9.80665, "kgf", "N", "a kilogram-force is 9.81 N"},
	{4.4482216152605, "lbf", "N", "a pound-force is 4.45 N"},
	{9.80665 / 4.4482216152605, "kgf", "lbf", "a kilogram-force is 2.2 pounds-force"},
}

// MixedUnits suspects two series of being in different units where their medians of a column stand to each other as
// two units of force do, with the line that puts the odd one right and goes back to the series called back ("": stays).
func MixedUnits(k *session.Call, series []string, medians []float64, column frames.Column,
	back string) []page.Sentence {
	var out []page.Sentence
	unit := column.Unit.String()
	for i := range medians {
		for j := range medians {
			ratio := medians[i] / medians[j]
			if !(medians[j] > 0 && ratio > 1) {
				continue
			}
			for _, f := range forceFactors {
				if math.Abs(math.Log(ratio/f.factor)) > unitTolerance*math.Log(f.factor) {
					continue
				}
				s := page.Say("The loads of "+series[i]+" are ", page.Num{Value: ratio, Style: page.Ratio},
					" times those of "+series[j]+" (medians ", page.In(medians[i], unit), " and ",
					page.In(medians[j], unit), "), and "+f.explains+
						". One of the two may not be in the unit it was read in: look at the gauge.")
				odd, in := "", ""
				switch unit {
				case f.larger:
					odd, in = series[i], f.lesser
				case f.lesser:
					odd, in = series[j], f.larger
				}
				if _, open := k.Session.Frame(odd); open {
					s = append(s, page.Word(" If "+odd+" is in "+in+", before asking again, type: "+
						inUnit(odd, column.Name, in, back)))
				}
				out = append(out, s)
			}
		}
	}
	return out
}

// inUnit is the line that says what unit a column of another series is in.
func inUnit(series, column, unit, back string) string {
	line := phrase.Line(&phrase.SwitchTo{Series: phrase.Name{Text: series}}) + "; " +
		phrase.Line(&phrase.SetUnit{Column: phrase.ColumnRef{Column: column}, Unit: phrase.UnitRef{Unit: unit}})
	if back != "" {
		line += "; " + phrase.Line(&phrase.SwitchTo{Series: phrase.Name{Text: back}})
	}
	return line
}

// medians are those of a column by series, without what is set aside.
func medians(ctx context.Context, f *frames.Frame, column string) []float64 {
	c, _ := f.Column(frames.SeriesColumn) // every pool has it
	codes, _ := f.Codes(ctx, frames.SeriesColumn)
	values, err := f.Numbers(column)
	if err != nil {
		return nil // no numbers
	}
	of := make([][]float64, len(c.Levels))
	for row, code := range codes {
		parallel.LookAt(ctx, row)
		if _, aside := f.Aside(row); !aside && !math.IsNaN(values[row]) {
			of[code] = append(of[code], values[row])
		}
	}
	out := make([]float64, len(of))
	for i, v := range of {
		parallel.Sort(ctx, v)
		if out[i] = math.NaN(); len(v) > 0 {
			out[i] = (v[(len(v)-1)/2] + v[len(v)/2]) / 2
		}
	}
	return out
}
