package session

import (
	"slices"

	"breakbook/frames"
	"breakbook/models/parallel"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
)

// Cells splits the values by one or two categories; the level reads "pair" or "pair, 34".
func (k *Call) Cells(s *Sample, values []float64, by []phrase.ColumnRef) ([]Cell, error) {
	if len(by) > 1 && by[1].Column == by[0].Column {
		return nil, page.Refuse(page.CodeNamedTwice, by[1].At, by[1].Column+" is named twice", "leave one of them out")
	}
	outer, err := k.Groups(s, values, by[0])
	if err != nil {
		return nil, err
	}
	var out []Cell
	for _, g := range outer {
		if len(by) == 1 {
			out = append(out, Cell{Group: g, Levels: []string{g.Level}})
			continue
		}
		inner, err := k.Groups(s, values, by[1])
		if err != nil {
			return nil, err
		}
		for _, h := range inner {
			both := Group{Level: g.Level + ", " + h.Level}
			for i, row := range h.Rows { // rows are in order
				parallel.LookAt(k.Context, i)
				if _, in := slices.BinarySearch(g.Rows, row); in {
					both.Values = append(both.Values, h.Values[i])
					both.Rows = append(both.Rows, row)
				}
			}
			if len(both.Values) > 0 {
				out = append(out, Cell{Group: both, Levels: []string{g.Level, h.Level}})
			}
		}
	}
	return out, nil
}

// Cell is a group with its levels apart.
type Cell struct {
	Group
	Levels []string
}

// NoRatio reports whether ratios of the column's values mean nothing: degC and degF
// have no natural zero.
func NoRatio(c frames.Column) bool { return c.Unit.Dimension() == "temperature" }
