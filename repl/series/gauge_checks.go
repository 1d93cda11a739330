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

// gaugeTable is what a calibration table and the readings of a column say about the
// gauge: range, tare, gain, bend, rounding step, drift in test order.
func gaugeTable(ctx context.Context, g *gauge, f *frames.Frame, column frames.Column) page.Table {
	t := page.Table{ID: "checks", Title: page.Say("The gauge"),
		Columns: []page.Column{{ID: "check"}, {ID: "value"}, {ID: "p", Style: page.P}, {ID: "meaning"}}}
	in := func(x float64, unit string) page.Cell {
		c := page.N(x)
		c.Unit = unit
		return c
	}
	reading, unit := g.reading.String(), g.unit.String()
	put := func(check string, value page.Cell, meaning string) {
		t.Rows = append(t.Rows, []page.Cell{page.T(check), value, {}, page.T(meaning)})
	}
	put("lowest reading covered", in(g.From, reading), "")
	put("highest reading covered", in(g.To, reading), "")
	put("points", page.N(float64(len(g.Points))), "")
	put("tare", in(g.Tare, reading), tareMeans(g.Tare, g.Step))
	put("gain", page.N(g.Gain), gainMeans(g.Gain, g.reading == g.unit))
	put("bend", in(g.Bend, unit), "")
	put("rounding step of the table", in(g.Step, reading), "")
	t.Rows = append(t.Rows, gaugeRows(ctx, f, column)...)
	return t
}

// gaugeRows are the checks a column of readings allows on its own: the gauge's rounding
// step and drift in test order. Each row is check, value, p, meaning.
func gaugeRows(ctx context.Context, f *frames.Frame, column frames.Column) [][]page.Cell {
	values, err := f.Numbers(column.Name)
	if err != nil {
		return nil
	}
	unit := column.Unit.String()
	step, _ := curves.Step(ctx, values)
	stepCell := page.N(step)
	stepCell.Unit = unit
	rows := [][]page.Cell{{page.T("rounding step of " + column.Name), stepCell, {}, page.T(say.StepMeans(step, session.SpreadOf(values)))}}
	order, marked := f.RoleColumn(frames.Order)
	if !marked {
		return append(rows, []page.Cell{page.T("drift in test order"), {}, {}, page.T("no column is marked as order, so nothing can be said")})
	}
	d, err := driftOf(f, order.Name, values)
	if err != nil {
		return append(rows, []page.Cell{page.T("drift in test order"), {}, {}, page.T(say.DriftError(err))})
	}
	total := page.N(d.Total)
	total.Unit = unit
	return append(rows, []page.Cell{page.T("drift in test order"), total, page.N(d.P), page.T(say.DriftMeans(d.P))})
}

// driftOf tests the values, about their mean, for drift along the order column.
func driftOf(f *frames.Frame, order string, values []float64) (*curves.DriftTest, error) {
	at, err := f.Numbers(order)
	if err != nil {
		return nil, err
	}
	return curves.Drift(at, values)
}
