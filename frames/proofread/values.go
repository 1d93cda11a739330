package proofread

import (
	"math"
	"slices"

	"breakbook/frames"
	"breakbook/frames/notation"
	"breakbook/models/parallel"
)

// The ratios that a slip of the unit or the pen makes: kgf for N, lbf for N, lb for kg (exact by
// definition), and digits more or fewer.
var (
	unitSlips  = []float64{9.80665, 4.4482216, 2.2046226}
	digitSlips = []float64{10, 100, 1000}
)

// values looks at the numbers: nothing and less than nothing where all else is well above, two
// units in one column, slips of a unit or a digit.
func values(t *table) []Remark {
	if t.readings() {
		return nil // a load begins at nothing and rises
	}
	var all []Remark
	for _, i := range t.kind(frames.Number) {
		c := t.columns[i]
		if c.Role == frames.Specimen || c.Role == frames.Order || c.Role == frames.Weight || c.LnOf != nil ||
			c.Difference {
			continue
		}
		warm := c.Unit.Dimension() == "temperature"
		if t.quick && (warm || !measure(c) || !(t.extent(i).Least <= 0)) {
			continue
		}
		parallel.Look(t.ctx)
		n := &numbers{table: t, place: i, column: c}
		n.values, n.rows = t.part(i)
		if len(n.values) < 5 || counts(n.values) {
			continue
		}
		if warm {
			if two := n.twoScales(); two != nil {
				all = append(all, *two)
			}
			continue
		}
		all = append(all, n.signs()...)
		if t.quick {
			continue
		}
		if two := n.twoUnits(); two != nil {
			all = append(all, *two)
			continue
		}
		all = append(all, n.slips()...)
	}
	return all
}

// readings reports whether each specimen has several rows: those are readings of a gauge.
func (t *table) readings() bool {
	i := t.nameColumn()
	return i >= 0 && t.columns[i].Kind == frames.Category && 3*len(t.columns[i].Levels) <= t.rows
}

// numbers is one number column under the reader's eye.
type numbers struct {
	*table
	place  int
	column frames.Column
	values []float64 // that are there
	rows   []int     // of each
}

// measure reports whether a column measures something that cannot be nothing or less: a load, a size,
// a density, by its role or its unit.
func measure(c frames.Column) bool {
	switch c.Unit.Dimension() {
	case "force", "length", "area", "volume", "density", "mass", "stress", "pressure":
		return true
	}
	return c.Role == frames.Load || c.Unit.None() && notation.NamesSize(c.Name)
}

// signs are zeros and negative numbers where all else lies well above nothing.
func (n *numbers) signs() (all []Remark) {
	if !measure(n.column) {
		return nil
	}
	var above []float64
	zero, negative := Remark{Code: Zero, Column: n.column.Name}, Remark{Code: Negative, Column: n.column.Name}
	for i, x := range n.values {
		switch {
		case x > 0:
			above = append(above, x)
		case x < 0:
			negative.Rows = append(negative.Rows, n.rows[i])
		default:
			zero.Rows = append(zero.Rows, n.rows[i])
		}
	}
	loads := n.column.Role == frames.Load || notation.NamesLoad(n.column.Name)
	if loads && len(above) == 0 && len(negative.Rows) >= 4 {
		negative.Usual = medianOf(n.ctx, slices.Clone(n.values))
		return []Remark{negative}
	}
	if len(above) < 4 {
		return nil
	}
	usual := medianOf(n.ctx, above)
	load := n.column.Role == frames.Load
	few := func(rows []int) bool {
		return len(rows) > 0 && (len(rows) <= max(1, len(n.values)/20) || load && 5*len(rows) <= len(n.values))
	}
	alike := slices.Min(above) == slices.Max(above) // one thickness throughout
	if !alike && (n.gridded(above) || usual < 20*n.step()) {
		return nil
	}
	if small, _ := slices.BinarySearch(above, usual/10); 20*small > len(above) || !load && above[0] < usual/5 {
		return nil // small values are nothing odd here
	}
	if few(negative.Rows) {
		negative.Value = n.number(n.place)[negative.Rows[0]]
		negative.Should = -negative.Value
		negative.Of, negative.Usual = len(above), usual
		all = append(all, negative)
	}
	if few(zero.Rows) {
		zero.Of, zero.Usual = len(above), usual
		all = append(all, zero)
	}
	return all
}

// gridded reports whether nothing would be the next of a few numbers at even distances: 0, 5, 10.
func (n *numbers) gridded(sorted []float64) bool {
	distinct := slices.Compact(slices.Clone(sorted))
	if len(distinct) < 2 || len(distinct) > mostLevels {
		return false
	}
	least := math.Inf(1)
	for i := 1; i < len(distinct); i++ {
		least = math.Min(least, distinct[i]-distinct[i-1])
	}
	return distinct[0] < 1.5*least
}

// step is the unit of the last digit that the column's numbers have.
func (n *numbers) step() float64 {
	digits := 0
	for _, x := range n.values[:min(len(n.values), 1000)] {
		digits = max(digits, min(decimals(x), 9))
	}
	return math.Pow(10, -float64(digits))
}

// forced reports whether a column may hold loads, or masses, of several units.
func (n *numbers) forced() bool {
	switch n.column.Unit.Dimension() {
	case "force", "mass":
		return true
	}
	return n.column.Role == frames.Load || n.column.Unit.None() && notation.NamesLoad(n.column.Name)
}

func (n *numbers) ratios() []float64 {
	if n.forced() {
		return append(slices.Clone(unitSlips), digitSlips...)
	}
	return digitSlips
}

// logs are the logarithms of what is above zero, with its rows.
func (n *numbers) logs() (logs []float64, rows []int) {
	for i, x := range n.values {
		parallel.LookAt(n.ctx, i)
		if x > 0 {
			logs, rows = append(logs, math.Log(x)), append(rows, n.rows[i])
		}
	}
	return logs, rows
}

// leastSpread is as narrow as logarithms are taken to lie: two in a hundred.
const leastSpread = 0.02
