package specimens

import (
	"breakbook/frames"
	"breakbook/frames/units"
	"breakbook/repl/page"
	"breakbook/repl/say"
)

const (
	// Air-dry density of wood runs from balsa at 110 to 170 kg/m3 to lignum vitae at
	// 1170 to 1370 kg/m3 (engineering tables), so outside these it is an error of unit.
	leastDensity, mostDensity = 100, 1400 // kg/m3
)

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
