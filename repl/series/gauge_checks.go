package series

import (
	"context"
	"math"

	"breakbook/frames"
	"breakbook/models/curves"
	"breakbook/repl/page"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// TareMeans, GainMeans, StepMeans and DriftMeans say what a check of the gauge means.
func tareMeans(tare, step float64) string {
	switch {
	case math.IsNaN(tare):
		return "the table does not reach a true value of zero"
	case tare == 0 || math.Abs(tare) <= step/2:
		return "it shows nothing when there is nothing"
	}
	return "it shows this when there is nothing; the table takes it off"
}

// gainMeans is for a gauge whose readings and true values have one unit.
func gainMeans(gain float64, oneUnit bool) string {
	switch {
	case !oneUnit:
		return "true units for each unit of reading"
	case gain > 1:
		return "it reads low"
	case gain < 1:
		return "it reads high"
	}
	return "it reads true"
}

// checkRow is one thing a calibration table or a column of readings tells of the gauge.
type checkRow struct {
	Check   string        `id:"check"`
	Value   page.Quantity `id:"value"`
	P       float64       `id:"p" style:"p"`
	Meaning string        `id:"meaning" blank:"yes"`
}

// gaugeTable is what a calibration table and the readings of a column say about the
// gauge: range, tare, gain, bend, rounding step, drift in test order.
func gaugeTable(ctx context.Context, g *gauge, f *frames.Frame, column frames.Column) page.Table {
	reading, unit := g.reading.String(), g.unit.String()
	rows := []checkRow{
		{"lowest reading covered", page.Quantity{Value: g.From, Unit: reading}, page.None, ""},
		{"highest reading covered", page.Quantity{Value: g.To, Unit: reading}, page.None, ""},
		{"points", page.Quantity{Value: float64(len(g.Points))}, page.None, ""},
		{"tare", page.Quantity{Value: g.Tare, Unit: reading}, page.None, tareMeans(g.Tare, g.Step)},
		{"gain", page.Quantity{Value: g.Gain}, page.None, gainMeans(g.Gain, g.reading == g.unit)},
		{"bend", page.Quantity{Value: g.Bend, Unit: unit}, page.None, ""},
		{"rounding step of the table", page.Quantity{Value: g.Step, Unit: reading}, page.None, ""},
	}
	return page.Filled(page.Table{ID: "checks", Title: page.Say("The gauge")},
		append(rows, readingChecks(ctx, f, column)...), nil)
}

// readingChecks are the checks a column of readings allows on its own: the gauge's rounding
// step and drift in test order.
func readingChecks(ctx context.Context, f *frames.Frame, column frames.Column) []checkRow {
	values, err := f.Numbers(column.Name)
	if err != nil {
		return nil
	}
	unit := column.Unit.String()
	step, _ := curves.Step(ctx, values)
	rows := []checkRow{{"rounding step of " + column.Name, page.Quantity{Value: step, Unit: unit}, page.None,
		say.StepMeans(step, session.SpreadOf(values))}}
	drift := checkRow{Check: "drift in test order", Value: page.Quantity{Value: page.None}, P: page.None}
	if order, marked := f.RoleColumn(frames.Order); !marked {
		drift.Meaning = "no column is marked as order, so nothing can be said"
	} else if d, err := driftOf(f, order.Name, values); err != nil {
		drift.Meaning = say.DriftError(err)
	} else {
		drift.Value, drift.P, drift.Meaning = page.Quantity{Value: d.Total, Unit: unit}, d.P, say.DriftMeans(d.P)
	}
	return append(rows, drift)
}

// driftOf tests the values, about their mean, for drift along the order column.
func driftOf(f *frames.Frame, order string, values []float64) (*curves.DriftTest, error) {
	at, err := f.Numbers(order)
	if err != nil {
		return nil, err
	}
	return curves.Drift(at, values)
}
