package frames

import (
	"cmp"
	"context"
	"maps"
	"math"
	"slices"

	"github.com/go-gota/gota/series"

	"breakbook/frames/origin"
	"breakbook/frames/units"
	"breakbook/models/parallel"
)

// NumberColumn is a column worked out elsewhere: one value a row, NaN where missing.
type NumberColumn struct {
	Name, Label string
	Unit        units.Unit
	Values      []float64
	Step        float64 // the finest step they support; 0: as they are

	Difference bool               // of temperatures in a new column: the values are differences
	LnOf       *origin.Logarithm  // of natural logarithms: of what
	Adjusted   *origin.Adjustment // of what was brought to reference conditions: to which
	Gauge      string             // the file by whose table they were corrected
}

// WithNumbers adds columns after the others; one whose name exists takes that column's
// place and keeps its role. A column of another length than the frame is an *Error
// with code "uneven-column"; it is ctx's own where that ends.
func (f *Frame) WithNumbers(ctx context.Context, columns ...NumberColumn) (_ *Frame, err error) {
	defer parallel.Catch(&err)
	next := *f
	next.at, next.held, next.columns = maps.Clone(f.at), slices.Clone(f.held), slices.Clone(f.columns)
	for _, c := range columns {
		if len(c.Values) != f.Len() {
			return nil, &Error{Code: "uneven-column", Column: c.Name, Detail: c.Name +
				" does not have a value for each specimen"}
		}
		h := held{Column: Column{Name: c.Name, Label: c.Label, Kind: Number, Unit: c.Unit, Step: c.Step, Made: true,
			Difference: c.Difference, LnOf: c.LnOf, Adjusted: c.Adjusted, Gauge: c.Gauge}}
		h.Header = headerOf(h.Column)
		if slices.ContainsFunc(c.Values, math.IsNaN) {
			h.missing = make([]bool, len(c.Values))
			for row, x := range c.Values {
				h.missing[row] = math.IsNaN(x)
			}
		}
		s := numbersOf(ctx, c.Values)
		if i, ok := next.at[c.Name]; ok {
			was := next.held[i]
			h.Role, h.Difference, h.Made, h.From = was.Role, was.Difference, was.Made, was.From
			h.Gauge = cmp.Or(h.Gauge, was.Gauge)
			next.held[i], next.columns[i] = h, s
			continue
		}
		next.at[c.Name] = len(next.held)
		next.held, next.columns = append(next.held, h), append(next.columns, s)
	}
	return &next, nil
}

// numbersOf is a gota series of numbers. It is parallel.Stopped where ctx ends.
func numbersOf(ctx context.Context, values []float64) series.Series {
	return seriesOf(ctx, series.Float, len(values), func(row int) any { return values[row] })
}

// seriesOf is a gota series of a type, without a name, filled cell by cell. It is
// parallel.Stopped where ctx ends.
func seriesOf(ctx context.Context, of series.Type, rows int, cell func(row int) any) series.Series {
	parallel.Look(ctx)
	s := blank(of, make([]int, rows))
	for row := range rows {
		parallel.LookAt(ctx, row)
		s.Elem(row).Set(cell(row))
	}
	return s
}
