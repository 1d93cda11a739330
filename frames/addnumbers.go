package frames

import (
	"maps"
	"math"
	"slices"

	"github.com/go-gota/gota/dataframe"
	"github.com/go-gota/gota/series"

	"breakbook/frames/units"
)

// NumberColumn is a column worked out elsewhere: one value a row, NaN where missing.
type NumberColumn struct {
	Name, Label string
	Unit        units.Unit
	Values      []float64
}

// WithNumbers adds columns after the others; one whose name exists takes that column's
// place and keeps its role. A column of another length than the frame is an *Error
// with code "uneven-column".
func (f *Frame) WithNumbers(columns ...NumberColumn) (*Frame, error) {
	next := *f
	next.at, next.held = maps.Clone(f.at), slices.Clone(f.held)
	all := make([]series.Series, len(f.held))
	for i, h := range f.held {
		all[i] = f.df.Col(h.Name)
	}
	for _, c := range columns {
		if len(c.Values) != f.Len() {
			return nil, &Error{Code: "uneven-column", Column: c.Name, Detail: c.Name + " does not have a value for each specimen"}
		}
		h := held{Column: Column{Name: c.Name, Label: c.Label, Kind: Number, Unit: c.Unit}}
		h.Header = headerOf(h.Column)
		if slices.ContainsFunc(c.Values, math.IsNaN) {
			h.missing = make([]bool, len(c.Values))
			for row, x := range c.Values {
				h.missing[row] = math.IsNaN(x)
			}
		}
		s := series.New(c.Values, series.Float, c.Name)
		if i, ok := next.at[c.Name]; ok {
			h.Role, h.Difference = next.held[i].Role, next.held[i].Difference
			next.held[i], all[i] = h, s
			continue
		}
		next.at[c.Name] = len(next.held)
		next.held, all = append(next.held, h), append(all, s)
	}
	next.df = dataframe.New(all...)
	return &next, nil
}
