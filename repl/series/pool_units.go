package series

import (
	"math"

	"breakbook/repl/page"
)

// unitTolerance is how near the ratio of two medians must come to a factor between
// units of force to raise the suspicion: a tenth, about what the medians of two
// series of 20 joints differ by on their own.
const unitTolerance = 0.10

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

// mixedUnits suspects two series of being in different units where their median loads
// stand to each other as two units of force do.
func mixedUnits(series []string, medians []float64, unit string) []page.Sentence {
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
