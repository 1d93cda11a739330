package series

import (
	"context"
	"math"
	"path/filepath"
	"slices"
	"strings"

	"breakbook/frames"
	"breakbook/frames/curvefiles"
	"breakbook/frames/notation"
	"breakbook/frames/units"
	"breakbook/models/curves"
	"breakbook/models/lists"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// ReadCurves reads load–slip readings, gives each specimen its curve and adds what the curves show as columns.
func ReadCurves(k *session.Call, cmd *phrase.ReadCurves) (*session.Outcome, error) {
	name, f, err := k.Frame()
	if err != nil {
		return nil, err
	}
	files, key := cmd.Files, cmd.Key
	readings, folders, err := readings(k, f, cmd)
	if err != nil {
		return nil, err
	}
	o := curves.Options{}
	if a := cmd.Drop; a != nil {
		o.Drop = a.Value
	}
	readings.Drop = o.Drop
	next, matching, err := f.WithCurves(readings, key.Column)
	if err != nil {
		return nil, session.WithPlace(err, key.At)
	}
	m, err := session.MeasureAll(k.Context, readings, o)
	if err != nil {
		return nil, err
	}
	columns, err := figureColumns(k.Context, next, m)
	if err != nil {
		return nil, session.WithPlace(err, files.At)
	}
	if err := free(f, columns, files.At); err != nil {
		return nil, err
	}
	if next, err = next.WithNumbers(k.Context, columns...); err != nil {
		return nil, err
	}
	tellCurves(k, key.Column, next, readings, m, matching)
	if folders != nil {
		next = next.Using(folders.Looked...)
		tellFolders(k, folders)
	}
	k.Entry.Tables = append([]page.Table{figureTable(k.Context, columns)}, k.Entry.Tables...)
	k.Entry.Reads = besideOf(next)
	return session.Becomes(k.Session.WithFrame(name, next)), nil
}

// readings reads the files of the command, loads in the unit of the series' own.
func readings(k *session.Call, f *frames.Frame, cmd *phrase.ReadCurves) (*frames.Curves, *curvefiles.Folders, error) {
	files := cmd.Files
	paths := lists.Mapped(files.Paths, k.Where)
	columns := curvefiles.Columns{Key: cmd.Key.Column, Specimens: func() []string { return cellsOf(f, cmd.Key.Column) }}
	if t := cmd.Taking; t != nil {
		columns.Load, columns.Slip = t.Load.Text, t.Slip.Text
	}
	if cmd.Sheet != nil {
		columns.Sheet = cmd.Sheet.Text
	}
	var unit units.Unit
	if c, ok := f.RoleColumn(frames.Load); ok {
		unit = c.Unit
	}
	readings, folders, err := curvefiles.Read(k.Context, paths, columns, unit)
	if p := session.NoSheet(err, cmd, func(c *phrase.ReadCurves) **phrase.Text { return &c.Sheet }); p != nil {
		return nil, nil, p
	}
	if fe, ok := err.(*frames.Error); ok {
		at := files.At
		if fe.Code == "no-partners" && fe.Word != "" { // a file without the key
			return nil, nil, session.WithPlace(fe, cmd.Key.At)
		}
		for i, path := range paths {
			if path == fe.File || filepath.Dir(fe.File) == filepath.Clean(path) {
				at = files.Paths[i].At
			}
		}
		return nil, nil, session.WithPlace(fe, at)
	}
	return readings, folders, err
}

// cellsOf are the cells of a column that are not missing.
func cellsOf(f *frames.Frame, column string) []string {
	out := make([]string, 0, f.Len())
	for row := range f.Len() {
		if cell, ok := f.Cell(column, row); ok {
			out = append(out, cell)
		}
	}
	return out
}

// figureColumns are the figures of the curves as columns, in units made of the readings'.
func figureColumns(ctx context.Context, f *frames.Frame, m []session.CurveFigures) ([]frames.NumberColumn, error) {
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
			if i, ok := f.CurveOf(row); ok && m[i].Err == nil {
				values[row] = change.Apply(m[i].Values[kind])
			}
		}
		out = append(out, frames.NumberColumn{Name: kind.Key(), Label: say.Capital(strings.ReplaceAll(kind.Key(), "_",
			" ")), Unit: unit, Values: values, Step: notation.StepAt(ctx, values, figureDigits(kind, c))})
	}
	return out, nil
}

// figureDigits is how many significant digits the readings have that a figure is worked out of: the fewest.
func figureDigits(kind curves.Kind, c *frames.Curves) int {
	switch p, q := kind.Powers(); {
	case q == 0:
		return c.LoadDigits
	case p == 0:
		return c.SlipDigits
	}
	return min(c.LoadDigits, c.SlipDigits)
}

// figureUnit is the unit of a figure and how its numbers come to it: an energy is in J.
func figureUnit(kind curves.Kind, load, slip units.Unit) (units.Unit, units.Change, error) {
	p, q := kind.Powers()
	ofLoad, err := units.Pow(load, float64(p))
	if err != nil {
		return load, units.Change{}, err
	}
	ofSlip, err := units.Pow(slip, float64(q))
	if err != nil {
		return slip, units.Change{}, err
	}
	unit, err := units.Mul(ofLoad, ofSlip)
	if err != nil {
		return unit, units.Change{}, err
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
func free(f *frames.Frame, columns []frames.NumberColumn, at int) error {
	if f.Curves() != nil {
		return nil
	}
	for _, c := range columns {
		if _, ok := f.Column(c.Name); !ok {
			continue
		}
		old, err := f.Numbers(c.Name)
		if err != nil || !slices.EqualFunc(old, c.Values, func(a, b float64) bool {
			return a == b || math.IsNaN(a) && math.IsNaN(b)
		}) {
			return page.Refuse(page.CodeNameTaken, at, "the series has a column "+c.Name+" already, with other "+
				"values than the curves give", phrase.Line(&phrase.Rename{Column: phrase.ColumnRef{Column: c.Name},
				Name: phrase.Text{Text: "own_" + c.Name}}))
		}
	}
	return nil
}
