package kernel

import (
	"context"
	"math"
	"slices"
	"strings"

	"breakbook/frames"
	"breakbook/frames/units"
	"breakbook/models/compare"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
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
	leastCV, mostCV = 0.05, 0.40

	// fewestForCV is the smallest group whose coefficient of variation is judged: with
	// a true one of 15 %, five specimens come out under 5 % in about 2 of 100 groups
	// (chi-squared, 4 degrees of freedom), three in about 10.
	fewestForCV = 5

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
					out = append(out, say.UnitsMixed(series[i], series[j], ratio, medians[i], medians[j], unit, f.explains))
				}
			}
		}
	}
	return out
}

// densityCautions warn of densities that no wood has.
func densityCautions(f *frames.Frame, columns []frames.Column) []page.Sentence {
	kgm3, _ := units.Parse("kg/m3")
	var out []page.Sentence
	for _, c := range columns {
		if c.Kind != frames.Number || c.Unit.Dimension() != "density" {
			continue
		}
		values, _ := f.Numbers(c.Name)
		change, err := units.To(c.Unit, kgm3)
		if err != nil {
			continue
		}
		count, first := 0, 0
		for row, x := range values {
			if y := change.Apply(x); y < leastDensity || y > mostDensity {
				if count++; count == 1 {
					first = row
				}
			}
		}
		if count > 0 {
			out = append(out, say.OddDensity(c.Name, count, f.SpecimenName(first), values[first], c.Unit.String(), leastDensity, mostDensity))
		}
	}
	return out
}

// spreadCautions warn of groups whose strength scatters less or more than joints do.
func spreadCautions(ctx context.Context, r *response, cells []cell) []page.Sentence {
	switch d := r.column.Unit.Dimension(); {
	case r.function != "":
		return nil
	case d != "force" && d != "moment" && d != "energy" && d != "stress" && r.column.Role != frames.Load:
		return nil
	}
	var narrow, wide []say.GroupSpread
	for _, c := range cells {
		if len(c.values) < fewestForCV {
			continue
		}
		switch cv := compare.Summarise(ctx, c.values, 0.95).CV; {
		case cv < leastCV:
			narrow = append(narrow, say.GroupSpread{Group: c.level, CV: cv})
		case cv > mostCV:
			wide = append(wide, say.GroupSpread{Group: c.level, CV: cv})
		}
	}
	var out []page.Sentence
	if narrow != nil {
		out = append(out, say.TooAlike(narrow, leastCV))
	}
	if wide != nil {
		out = append(out, say.TooScattered(wide, mostCV))
	}
	return out
}

// chalkCautions warn where cure temperatures on both sides of the glue's chalk point
// enter a fit as a line.
func (k *call) chalkCautions() []page.Sentence {
	terms, ok := phrase.Part[phrase.Terms](k.c)
	if !ok {
		return nil
	}
	degC, _ := units.Parse("degC")
	var out []page.Sentence
	var told []string
	for _, t := range terms.List {
		for _, factor := range t.Factors {
			c, _ := k.analysis.sample.frame.Column(factor.Column.Column)
			if c.Kind != frames.Number || !cureTemperature(c) || slices.Contains(told, c.Name) {
				continue
			}
			values, _ := k.analysis.sample.frame.Numbers(c.Name)
			lo, hi := extent(values)
			at, err := units.Convert(k.s.Settings().ChalkPoint, degC, c.Unit)
			if err == nil && lo < at && at < hi {
				told = append(told, c.Name)
				out = append(out, say.ChalkPoint(c.Name, seen(lo, lo, hi, "").Value, seen(hi, lo, hi, "").Value, seen(at, lo, hi, "").Value, c.Unit.String()))
			}
		}
	}
	return out
}

// cureTemperature reports whether a column is the temperature that glue cured at, and
// not that of a test or a laboratory.
func cureTemperature(c frames.Column) bool {
	return c.Unit.Dimension() == "temperature" && !c.Difference &&
		!slices.ContainsFunc(strings.Split(c.Name, "_"), func(word string) bool {
			return slices.Contains([]string{"test", "tested", "testing", "lab", "laboratory"}, word)
		})
}

// tradeCautions are those of the trade that go with every analysis.
func (k *call) tradeCautions() []page.Sentence {
	a := k.analysis
	var used []frames.Column
	for _, c := range a.sample.frame.Columns() {
		if c.Name == a.response.column.Name || slices.Contains(a.columns, c.Name) {
			used = append(used, c)
		}
	}
	out := append(densityCautions(a.sample.frame, used), k.chalkCautions()...)
	return append(out, k.scatterOfGroups()...)
}

// scatterOfGroups judges the groups that a command sets side by side.
func (k *call) scatterOfGroups() []page.Sentence {
	grouped, ok := phrase.Facet[phrase.Grouped](k.c)
	if _, measures := phrase.Part[phrase.Response](k.c); !ok || !measures || len(grouped.Categories()) == 0 {
		return nil
	}
	cells, err := k.cells(k.analysis.sample, k.analysis.response.values, grouped.Categories())
	if err != nil {
		return nil // what is wrong with the groups is the command's to say
	}
	return spreadCautions(k.ctx, k.analysis.response, cells)
}

// setChalkPoint says where the glue's chalk point is.
func setChalkPoint(k *call, cmd *phrase.SetChalkPoint) (*outcome, error) {
	a := cmd.Amount
	u, err := unitOf(a)
	if err != nil {
		return nil, err
	}
	degC, _ := units.Parse("degC")
	if u.None() {
		u = degC
	}
	x, err := units.Convert(asTyped(a), u, degC)
	if err != nil {
		return nil, placed(err, a.At)
	}
	if x < -20 || x > 60 {
		return nil, &page.Problem{Code: "out-of-range", At: a.At, Message: "no glue has its chalk point there", Hint: "chalk point 13 degC"}
	}
	n := k.s.with(func(s *Settings) { s.ChalkPoint = x })
	k.e.Findings = []page.Sentence{say.ChalkPointSet(asTyped(a), u.String())}
	return becomes(n), nil
}
