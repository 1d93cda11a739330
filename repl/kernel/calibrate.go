package kernel

import (
	"errors"
	"fmt"
	"math"

	"breakbook/frames"
	"breakbook/frames/units"
	"breakbook/models/curves"
	"breakbook/repl/page"
	"breakbook/repl/say"
)

// calibrate corrects a column by the table of the gauge it was read with.
func calibrate(k *call) (*Session, error) {
	name, f, err := k.frame()
	if err != nil {
		return nil, err
	}
	ref, file := k.column("column"), k.file("file")
	column, _ := f.Column(ref.Column)
	before, err := f.Numbers(ref.Column)
	if err != nil {
		return nil, placed(err, ref.At)
	}
	g, err := k.gauge(column)
	if err != nil {
		return nil, err
	}
	after := make([]float64, len(before))
	var outside []string
	moves := span{least: math.Inf(1), most: math.Inf(-1)}
	for row, x := range before {
		var beyond bool
		if after[row], beyond = g.Apply(x); beyond {
			outside = append(outside, f.SpecimenName(row))
		}
		if x == x {
			moves.add(after[row] - x)
		}
	}
	next, err := f.WithNumbers(k.ctx, frames.NumberColumn{Name: column.Name, Label: column.Label, Unit: g.unit, Values: after})
	if err != nil {
		return nil, err
	}
	k.e.Findings = []page.Sentence{say.Calibrated(column.Name, file.Path, moves.n)}
	if g.unit == g.reading {
		k.e.Findings = append(k.e.Findings, say.Moved(moves.n, moves.mean, moves.least, moves.most, g.unit.String()))
	} else {
		k.e.Findings = append(k.e.Findings, say.NowIn(column.Name, g.reading.String(), g.unit.String()))
		moves = span{mean: page.None, least: page.None, most: page.None, n: moves.n}
	}
	if len(outside) > 0 {
		k.e.Cautions = append(k.e.Cautions, say.OutsideGauge(outside, g.From, g.To, g.reading.String()))
	}
	if f.Curves() != nil {
		k.e.Cautions = append(k.e.Cautions, say.CurvesAsRead(column.Name))
	}
	k.e.Cautions = append(k.e.Cautions, g.cautions()...)
	next = next.Using(g.file)
	now, _ := next.Column(column.Name)
	k.e.Tables = []page.Table{columnTable(k.ctx, next, []frames.Column{now}), gaugeTable(k.ctx, g, f, column)}
	k.e.Values = []page.Value{
		{ID: "n", Cell: page.N(float64(moves.n)), Style: page.Count}, {ID: "outside", Cell: page.N(float64(len(outside))), Style: page.Count},
		{ID: "mean_move", Cell: page.N(moves.mean), Unit: g.unit.String()}, {ID: "least_move", Cell: page.N(moves.least), Unit: g.unit.String()},
		{ID: "most_move", Cell: page.N(moves.most), Unit: g.unit.String()},
	}
	k.e.Reads = besideOf(next)
	return k.s.withFrame(name, next), nil
}

// span is the mean, least and most of some numbers.
type span struct {
	n                 int
	mean, least, most float64
}

func (s *span) add(x float64) {
	s.n++
	s.mean += (x - s.mean) / float64(s.n)
	s.least, s.most = min(s.least, x), max(s.most, x)
}

// gauge is a calibration with its units: readings in one, true values in the other.
type gauge struct {
	*curves.Calibration
	reading, unit units.Unit
	file          frames.UsedFile
}

// gauge reads the command's table for a column: its columns are called reading and
// true, in the column's unit where they name none.
func (k *call) gauge(column frames.Column) (*gauge, error) {
	file := k.file("file")
	f, _, err := frames.Open(k.ctx, k.where(file), frames.Overrides{})
	if err != nil {
		return nil, placed(err, file.At)
	}
	r, t, err := gaugeColumns(f)
	if err != nil {
		return nil, placed(err, file.At)
	}
	g := &gauge{reading: column.Unit, unit: column.Unit, file: frames.UsedFile{Source: f.Source(), Rows: f.Len()}}
	if g.reading.None() {
		g.reading, g.unit = r.Unit, r.Unit
	}
	if !t.Unit.None() && !units.SameDimension(t.Unit, g.unit) {
		g.unit = t.Unit
	}
	readings, err := inThe(f, r, g.reading)
	if err != nil {
		return nil, placed(err, file.At)
	}
	truth, err := inThe(f, t, g.unit)
	if err != nil {
		return nil, placed(err, file.At)
	}
	var lines []int
	var x, y []float64
	for row := range readings {
		if readings[row] == readings[row] && truth[row] == truth[row] {
			x, y, lines = append(x, readings[row]), append(y, truth[row]), append(lines, f.Line(row))
		}
	}
	if g.Calibration, err = curves.NewCalibration(k.ctx, x, y); err != nil {
		return nil, gaugeProblem(err, file.Path, file.At, lines)
	}
	return g, nil
}

func gaugeColumns(f *frames.Frame) (reading, truth frames.Column, err error) {
	for _, want := range []struct {
		name string
		into *frames.Column
	}{{"reading", &reading}, {"true", &truth}} {
		c, ok := f.Column(want.name)
		if !ok {
			return reading, truth, &frames.Error{Code: "no-calibration", File: f.Source().Path, Column: want.name,
				Detail: "it has no column " + want.name, Hint: "a calibration table has the columns reading and true"}
		}
		*want.into = c
	}
	return reading, truth, nil
}

// inThe is a column's numbers in a unit; one that names none is in it already.
func inThe(f *frames.Frame, c frames.Column, u units.Unit) ([]float64, error) {
	values, err := f.Numbers(c.Name)
	if err != nil || c.Unit.None() {
		return values, err
	}
	change, err := units.To(c.Unit, u)
	if err != nil {
		return nil, err
	}
	for i, x := range values {
		values[i] = change.Apply(x)
	}
	return values, nil
}

// gaugeProblem names the lines of a table that cannot be a calibration.
func gaugeProblem(err error, path string, at int, lines []int) error {
	var e *curves.Error
	if !errors.As(err, &e) {
		return err
	}
	p := &page.Problem{Code: e.Code, At: at, Message: path + ": " + say.GaugeError(e.Code)}
	switch {
	case e.Reading >= 0 && e.Other >= 0:
		p.Message = fmt.Sprintf("%s lines %d and %d: %s", path, lines[e.Other], lines[e.Reading], say.GaugeError(e.Code))
	case e.Reading >= 0:
		p.Message = fmt.Sprintf("%s line %d: %s", path, lines[e.Reading], say.GaugeError(e.Code))
	}
	return p
}

// cautions says where the table itself leaves room for doubt.
func (g *gauge) cautions() []page.Sentence {
	const (
		wide     = 1. / 3 // of the range: a wider step between points; common practice, no source
		disagree = 0.01   // of the range: repeats further apart; common practice, no source
	)
	var out []page.Sentence
	if g.WidestGap > wide && len(g.Points) > 2 || len(g.Points) == 2 {
		out = append(out, say.FewPoints(len(g.Points), g.WidestGap))
	}
	if g.Repeats > 0 && g.Disagree > disagree*(g.To-g.From) {
		out = append(out, say.RepeatsDisagree(g.Disagree, g.reading.String()))
	}
	return out
}
