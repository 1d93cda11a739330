package series

import (
	"errors"
	"fmt"
	"math"

	"breakbook/frames"
	"breakbook/frames/notation"
	"breakbook/frames/units"
	"breakbook/models/curves"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// moved tells by how much.
func moved(n int, mean, least, most float64, unit string) page.Sentence {
	near := math.Max(math.Abs(least), math.Abs(most)) / 100
	num := func(x float64) page.Num { return page.Num{Value: x, Unit: unit, Resolution: near, Signed: true} }
	if n == 0 {
		return page.Say("No value was there to move.")
	}
	if !(near > 1e-12) { // what arithmetic leaves of nothing
		return page.Say("None of them moved.")
	}
	return page.Say("They moved by ", num(mean), " on average, between ", num(least), " and ", num(most), ".")
}

// gaugeError says why a table is no calibration.
func gaugeError(code string) string {
	switch code {
	case "too-few-readings":
		return "two different true values are needed at least"
	case "repeated-reading":
		return "one reading stands for two true values"
	case "not-rising":
		return "the larger true value has the smaller reading"
	case "not-a-number", "too-large":
		return "a number is endless or too large to work with"
	}
	return code
}

// Calibrate corrects a column by the table of the gauge it was read with.
func Calibrate(k *session.Call, cmd *phrase.Calibrate) (*session.Outcome, error) {
	name, f, err := k.Frame()
	if err != nil {
		return nil, err
	}
	ref, file := cmd.Column, cmd.File
	column, _ := f.Column(ref.Column)
	before, err := f.Numbers(ref.Column)
	if err != nil {
		return nil, session.WithPlace(err, ref.At)
	}
	g, err := readGauge(k, column, cmd)
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
	next, err := f.WithNumbers(k.Context, frames.NumberColumn{Name: column.Name, Label: column.Label, Unit: g.unit,
		Values: after, Gauge: file.Path, Step: notation.StepAt(k.Context, after, f.Digits(k.Context, column.Name))})
	if err != nil {
		return nil, err
	}
	k.Entry.Findings = []page.Sentence{page.Say(moves.n, say.Plural(moves.n, " value", " values")+" of "+
		column.Name+say.Plural(moves.n, " is", " are")+" now corrected by the table of "+file.Path+".")}
	if g.unit == g.reading {
		k.Entry.Find(moved(moves.n, moves.mean, moves.least, moves.most, g.unit.String()))
	} else {
		k.Entry.Find(page.Say(column.Name+" was in ", page.If(g.reading.None(), "the gauge's own numbers"),
			page.Unit(g.reading.String()), " and is now in ", page.Unit(g.unit.String()), "."))
		moves = span{mean: page.None, least: page.None, most: page.None, n: moves.n}
	}
	read := func(x float64) page.Num { return page.Num{Value: x, Unit: g.reading.String(), Style: page.Exact} }
	k.Entry.Warn(page.If(len(outside) > 0, len(outside), say.Plural(len(outside), " reading lies", " readings lie")+
		" outside what the table covers (", read(g.From), " to ", read(g.To),
		"); the line at its end was carried on for "+say.Listed(outside)+"."))
	k.Entry.Warn(page.If(column.Gauge != "", column.Name+" was corrected by the table of "+column.Gauge+
		" before, and now it is so twice. To take this back, type: undo"))
	k.Entry.Warn(page.If(f.Curves() != nil, "Only "+column.Name+
		" was corrected; the load-slip readings and the figures from them are as read."))
	k.Entry.Warn(g.cautions()...)
	next = next.Using(g.file)
	now, _ := next.Column(column.Name)
	k.Entry.Tables = []page.Table{columnTable(k.Context, next, []frames.Column{now}),
		gaugeTable(k.Context, g, f, column)}
	k.Entry.Values = page.ValuesOf(calibrateValues{moves.n, len(outside), moves.mean, moves.least, moves.most},
		page.Names{"unit": g.unit.String()})
	k.Entry.Reads = besideOf(next)
	return session.Becomes(k.Session.WithFrame(name, next)), nil
}

// calibrateValues are the figures of a calibration: the numbers it changed, those outside
// the gauge's table, and how far it moved them where reading and true value have one unit.
type calibrateValues struct {
	N         int     `id:"n"`
	Outside   int     `id:"outside"`
	MeanMove  float64 `id:"mean_move" unit:"{unit}"`
	LeastMove float64 `id:"least_move" unit:"{unit}"`
	MostMove  float64 `id:"most_move" unit:"{unit}"`
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
	file          frames.Source
}

// readGauge reads the command's table for a column: its columns are called reading and
// true, in the column's unit where they name none.
func readGauge(k *session.Call, column frames.Column, cmd *phrase.Calibrate) (*gauge, error) {
	file := cmd.File
	f, err := session.ReadTable(k, file, cmd, func(c *phrase.Calibrate) **phrase.Text { return &c.Sheet })
	if err != nil {
		return nil, err
	}
	r, t, err := gaugeColumns(f)
	if err != nil {
		return nil, session.WithPlace(err, file.At)
	}
	g := &gauge{reading: column.Unit, unit: column.Unit, file: f.Source()}
	if g.reading.None() {
		g.reading, g.unit = r.Unit, r.Unit
	}
	if !t.Unit.None() && !units.SameDimension(t.Unit, g.unit) {
		g.unit = t.Unit
	}
	readings, err := inThe(f, r, g.reading)
	if err != nil {
		return nil, session.WithPlace(err, file.At)
	}
	truth, err := inThe(f, t, g.unit)
	if err != nil {
		return nil, session.WithPlace(err, file.At)
	}
	var lines []int
	var x, y []float64
	for row := range readings {
		if readings[row] == readings[row] && truth[row] == truth[row] {
			x, y, lines = append(x, readings[row]), append(y, truth[row]), append(lines, f.Line(row))
		}
	}
	if g.Calibration, err = curves.NewCalibration(k.Context, x, y); err != nil {
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
	p := page.Refuse(page.Code(e.Code), at, path+": "+gaugeError(e.Code), "")
	switch {
	case e.Reading >= 0 && e.Other >= 0:
		p.Message = fmt.Sprintf("%s lines %d and %d: %s", path, lines[e.Other], lines[e.Reading], gaugeError(e.Code))
	case e.Reading >= 0:
		p.Message = fmt.Sprintf("%s line %d: %s", path, lines[e.Reading], gaugeError(e.Code))
	}
	return p
}

// cautions says where the table itself leaves room for doubt.
func (g *gauge) cautions() []page.Sentence {
	const (
		wide     = 1. / 3 // of the range: a wider step between points; common practice, no source
		disagree = 0.01   // of the range: repeats further apart; common practice, no source
	)
	return []page.Sentence{
		page.If(g.WidestGap > wide, "The table has ", len(g.Points),
			" points, the widest step between two of them ", page.Share(g.WidestGap),
			" of its range; a bend of the gauge in there would go unseen."),
		page.If(g.Repeats > 0 && g.Disagree > disagree*(g.To-g.From), "Readings of one true value differ by up to ",
			page.In(g.Disagree, g.reading.String()), ", more than 1 % of the range; their mean was used."),
	}
}
