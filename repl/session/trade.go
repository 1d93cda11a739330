package session

import (
	"math"

	"breakbook/frames"
	"breakbook/frames/units"
	"breakbook/repl/page"
	"breakbook/repl/say"
)

// What the trade knows of its own figures, and where from.
const (
	// Air-dry density of wood runs from balsa at 110 to 170 kg/m3 to lignum vitae at
	// 1170 to 1370 kg/m3 (engineering tables), so outside these it is an error of unit.
	leastDensity, mostDensity = 100, 1400 // kg/m3

	// Coefficients of variation of glued joints of one batch: 10 to 25 % is ordinary;
	// under the first copied or averaged rows are suspected, over the second mixed
	// failure modes or units. Common practice, no source.
	LeastCV, MostCV = 0.05, 0.40

	// FewestForCV is the smallest group whose coefficient of variation is judged: with
	// a true one of 15 %, five specimens come out under 5 % in about 2 of 100 groups
	// (chi-squared, 4 degrees of freedom), three in about 10.
	FewestForCV = 5

	// chalkPoint is where a white glue is taken to dry chalky unless the session says
	// otherwise: sources give 4 to 13 degC for different glues, so it is a choice, and
	// the tin knows better.
	chalkPoint = 13 // degC

	// unitTolerance is how near the ratio of two medians must come to a factor between
	// units of force to raise the suspicion: a tenth, about what the medians of two
	// series of 20 joints differ by on their own.
	unitTolerance = 0.10
)

// forceFactors are the ratios between the units that gauges show, from the exact
// definitions. Common practice, no source, that mixing shows as such a factor.
var forceFactors = []struct {
	factor   float64
	explains string
}{
	{9.80665, "a kilogram-force is 9.81 N"},
	{4.4482216152605, "a pound-force is 4.45 N"},
	{9.80665 / 4.4482216152605, "a kilogram-force is 2.2 pounds-force"},
}

// MixedUnits suspects two series of being in different units where their median loads
// stand to each other as two units of force do.
func MixedUnits(series []string, medians []float64, unit string) []page.Sentence {
	var out []page.Sentence
	for i := range medians {
		for j := range medians {
			ratio := medians[i] / medians[j]
			if !(medians[j] > 0 && ratio > 1) {
				continue
			}
			for _, f := range forceFactors {
				if math.Abs(ratio/f.factor-1) <= unitTolerance {
					out = append(out, page.Say("The loads of "+series[i]+" are ",
						page.Num{Value: ratio, Style: page.Ratio}, " times those of "+series[j]+" (medians ",
						page.In(medians[i], unit), " and ", page.In(medians[j], unit), "), and "+f.explains+
							". One of the two may not be in the unit it was read in: look at the gauge, and "+
							"say unit COLUMN is UNIT before pooling."))
				}
			}
		}
	}
	return out
}

// DensityCautions warn of densities that no wood has.
func DensityCautions(f *frames.Frame, columns []frames.Column) []page.Sentence {
	kgm3, _ := units.Parse("kg/m3")
	var out []page.Sentence
	for _, c := range columns {
		if c.Kind != frames.Number || c.Unit.Dimension() != "density" {
			continue
		}
		values, _ := f.EachNumber(c.Name) // it is one
		change, err := units.To(c.Unit, kgm3)
		if err != nil {
			continue
		}
		count, first, odd := 0, 0, 0.0
		for row, x := range values {
			if y := change.Apply(x); y < leastDensity || y > mostDensity {
				if count++; count == 1 {
					first, odd = row, x
				}
			}
		}
		if count == 0 {
			continue
		}
		out = append(out, page.Say(count, say.Plural(count, " value of ", " values of ")+c.Name+" "+
			say.Plural(count, "is", "are")+" outside ", page.Num{Value: leastDensity, Style: page.Exact}, " to ",
			page.Num{Value: mostDensity, Unit: "kg/m3", Style: page.Exact}, ", where no wood is ("+
				say.Plural(count, "", "the first is ")+"specimen "+f.SpecimenName(first)+": ",
			page.In(odd, c.Unit.String()), "). Look at the unit, and for a slip of the pen."))
	}
	return out
}
