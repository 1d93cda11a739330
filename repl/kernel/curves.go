package kernel

import (
	"context"
	"math"
	"slices"
	"sync/atomic"

	"breakbook/frames"
	"breakbook/frames/units"
	"breakbook/models/curves"
	"breakbook/models/parallel"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/progress"
	"breakbook/repl/say"
)

// readCurves reads load–slip readings, gives each specimen its curve and adds what the
// curves show as columns.
func readCurves(k *call) (*Session, error) {
	name, f, err := k.frame()
	if err != nil {
		return nil, err
	}
	files, key := k.c.Slots["files"].(phrase.Files), k.column("key")
	readings, err := k.readings(f, files, key.Column)
	if err != nil {
		return nil, err
	}
	o := curves.Options{}
	if a, ok := k.c.Slots["drop"].(phrase.Amount); ok && k.c.Options["drop"] {
		o.Drop = a.Value
	}
	readings.Drop = o.Drop
	next, matching, err := f.WithCurves(readings, key.Column)
	if err != nil {
		return nil, placed(err, key.At)
	}
	m, err := measureAll(k.ctx, readings, o)
	if err != nil {
		return nil, err
	}
	columns, err := figureColumns(next, m)
	if err != nil {
		return nil, placed(err, files.At)
	}
	if err := k.free(f, columns); err != nil {
		return nil, err
	}
	if next, err = next.WithNumbers(k.ctx, columns...); err != nil {
		return nil, err
	}
	k.tellCurves(next, readings, m, matching)
	k.e.Tables = append([]page.Table{figureTable(columns)}, k.e.Tables...)
	k.e.Reads = besideOf(next)
	return k.s.withFrame(name, next), nil
}

// readings reads the files of the command, loads in the unit of the series' own.
func (k *call) readings(f *frames.Frame, files phrase.Files, key string) (*frames.Curves, error) {
	var paths []string
	for _, file := range files.Paths {
		paths = append(paths, k.where(file))
	}
	columns := frames.CurveColumns{Key: key}
	if k.c.Options["taking"] {
		columns.Load, columns.Slip = k.text("load"), k.text("slip")
	}
	var unit units.Unit
	if c, ok := f.RoleColumn(frames.Load); ok {
		unit = c.Unit
	}
	readings, err := frames.ReadCurves(k.ctx, paths, columns, unit)
	if fe, ok := err.(*frames.Error); ok {
		at := files.At
		for i, path := range paths {
			if path == fe.File {
				at = files.Paths[i].At
			}
		}
		return nil, placed(fe, at)
	}
	return readings, err
}

// measured is what came of one curve.
type measured struct {
	*curves.Measures
	err error
}

// measureAll measures every curve, side by side; the order is the curves'.
func measureAll(ctx context.Context, c *frames.Curves, o curves.Options) ([]measured, error) {
	all := make([]measured, c.Len())
	var done atomic.Int64
	report := progress.From(ctx)
	err := parallel.Each(ctx, len(all), func(_ context.Context, i int) error {
		slip, load := c.Curve(i)
		all[i].Measures, all[i].err = curves.Measure(slip, load, o)
		report(int(done.Add(1)), len(all))
		return nil
	})
	return all, err
}

// figureColumns are the figures of the curves as columns, in units made of the readings'.
func figureColumns(f *frames.Frame, m []measured) ([]frames.NumberColumn, error) {
	var out []frames.NumberColumn
	c := f.Curves()
	for _, kind := range curves.Kinds() {
		unit, change, err := figureUnit(kind, c.LoadUnit, c.SlipUnit)
		if err != nil {
			return nil, err
		}
		values := make([]float64, f.Len())
		for row := range values {
			values[row] = math.NaN()
			if i, ok := f.CurveOf(row); ok && m[i].err == nil {
				values[row] = change.Apply(m[i].Values[kind])
			}
		}
		out = append(out, frames.NumberColumn{Name: kind.Key(), Label: say.FigureLabel(kind), Unit: unit, Values: values})
	}
	return out, nil
}

// figureUnit is the unit of a figure and how its numbers come to it: an energy is in J.
func figureUnit(kind curves.Kind, load, slip units.Unit) (units.Unit, units.Change, error) {
	p, q := kind.Powers()
	unit := units.Unit{}
	for _, part := range []struct {
		unit  units.Unit
		power int
	}{{load, p}, {slip, q}} {
		raised, err := units.Pow(part.unit, float64(max(part.power, -part.power)))
		if err == nil && part.power > 0 {
			unit, err = units.Mul(unit, raised)
		} else if err == nil && part.power < 0 {
			unit, err = units.Div(unit, raised)
		}
		if err != nil {
			return unit, units.Change{}, err
		}
	}
	to := unit
	if joule, ok := units.Parse("J"); ok && p == 1 && q == 1 && units.SameDimension(unit, joule) {
		to = joule
	}
	change, err := units.To(unit, to)
	return to, change, err
}

// free makes sure that no column of the series is lost: one of a figure's name may go
// only if curves gave it, or it holds the same numbers.
func (k *call) free(f *frames.Frame, columns []frames.NumberColumn) error {
	if f.Curves() != nil {
		return nil
	}
	for _, c := range columns {
		if _, ok := f.Column(c.Name); !ok {
			continue
		}
		old, err := f.Numbers(c.Name)
		if err != nil || !slices.EqualFunc(old, c.Values, func(a, b float64) bool { return a == b || math.IsNaN(a) && math.IsNaN(b) }) {
			return &page.Problem{Code: "name-taken", At: k.c.Slots["files"].Place(),
				Message: "the series has a column " + c.Name + " already, with other values than the curves give",
				Hint:    "rename " + c.Name + " to own_" + c.Name}
		}
	}
	return nil
}
