package proofread

import (
	"math"
	"slices"

	"breakbook/frames"
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
		if c.Role == frames.Specimen || c.Role == frames.Order || c.Role == frames.Weight || c.LnOf != nil || c.Difference ||
			c.Unit.Dimension() == "temperature" {
			continue
		}
		if t.quick && (!measure(c) || !(t.extent(i).Least <= 0)) {
			continue
		}
		parallel.Look(t.ctx)
		n := &numbers{table: t, place: i, column: c}
		n.values, n.rows = t.part(i)
		if len(n.values) < 5 || counts(n.values) {
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
	return c.Role == frames.Load || c.Unit.None() && frames.NamesSize(c.Name)
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
	return n.column.Role == frames.Load || n.column.Unit.None() && frames.NamesLoad(n.column.Name)
}

func (n *numbers) ratios() []float64 {
	if n.forced() {
		return append(slices.Clone(unitSlips), digitSlips...)
	}
	return digitSlips
}

// twoUnits tells a column of two clumps that lie a known ratio apart and that no category explains.
func (n *numbers) twoUnits() *Remark {
	logs, rows := n.logs()
	if len(logs) < 8 || len(n.levels()) > 0 || n.column.Unit.String() == "percent" {
		return nil
	}
	if r := n.clumps(logs, rows); r != nil {
		return r
	}
	left := logs
	for i := range n.columns { // the levels of one column after the other, each less its upper clump
		codes, levels := n.factor(i)
		if i == n.place || levels < 2 || levels > max(2, len(logs)/leastGroup) {
			continue
		}
		left = n.lessUpper(left, rows, codes, levels)
		if r := n.clumps(left, rows); r != nil {
			return r
		}
	}
	return nil
}

// lessUpper takes the median of each level off, of a level in two clumps that of the upper one.
func (n *numbers) lessUpper(logs []float64, rows, codes []int, levels int) []float64 {
	of := func(i int) int { // a missing level is one more
		if c := codes[rows[i]]; c >= 0 {
			return c
		}
		return levels
	}
	groups := make([][]float64, levels+1)
	for i, y := range logs {
		groups[of(i)] = append(groups[of(i)], y)
	}
	middle := make([]float64, levels+1)
	for c, g := range groups {
		if len(g) == 0 {
			continue
		}
		parallel.Sort(n.ctx, g)
		cut := 0
		for i, widest := 1, 1.0; i < len(g); i++ {
			if wide := g[i] - g[i-1]; wide > widest && len(g)-i >= max(2, len(g)/5) {
				cut, widest = i, wide
			}
		}
		middle[c] = medianOf(n.ctx, g[cut:])
	}
	left := make([]float64, len(logs))
	for i, y := range logs {
		left[i] = y - middle[of(i)]
	}
	return left
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

// clumps parts logarithms at their widest gap and compares the halves.
func (n *numbers) clumps(logs []float64, rows []int) *Remark {
	sorted := slices.Clone(logs)
	parallel.Sort(n.ctx, sorted)
	cut, gap, second := 0, 0.0, 0.0
	for i := 1; i < len(sorted); i++ {
		switch wide := sorted[i] - sorted[i-1]; {
		case wide > gap:
			cut, gap, second = i, wide, gap
		case wide > second:
			second = wide
		}
	}
	few := max(3, len(sorted)/20)
	if cut < few || len(sorted)-cut < few {
		return nil
	}
	low, below := spreadOf(n.ctx, sorted[:cut])
	high, over := spreadOf(n.ctx, sorted[cut:])
	wide := math.Max(leastSpread, math.Max(below, over))
	apart := high - low
	if apart < 5*wide || gap < 1.5*wide || gap < 1.5*second {
		return nil
	}
	reach := math.Max(0.06, 3*wide*math.Sqrt(1/float64(cut)+1/float64(len(sorted)-cut)))
	ratio, off := 0.0, reach
	for _, k := range n.ratios() {
		if k < 6 && (len(sorted) < 30 || min(cut, len(sorted)-cut) < 5) {
			continue // kinds of joints differ as much
		}
		if d := math.Abs(apart - math.Log(k)); d < off {
			ratio, off = k, d
		}
	}
	if ratio == 0 {
		return nil
	}
	if math.Abs(math.Log(ratio/9.80665)) < 0.05 && n.forced() {
		ratio = 9.80665 // ten times is not told from it by so few, and a clump of loads is in another unit
	}
	edge := (sorted[cut-1] + sorted[cut]) / 2
	r := &Remark{Code: TwoUnits, Column: n.column.Name, Factor: ratio, Of: cut}
	upper := len(sorted)-cut <= cut // the smaller clump is the odd one
	if !upper {
		r.Factor, r.Of = 1/ratio, len(sorted)-cut
	}
	odd := make([]bool, n.table.rows)
	lowest, highest := math.Inf(1), math.Inf(-1)
	values := n.number(n.place)
	for i, y := range logs {
		x := values[rows[i]]
		if (y > edge) == upper {
			r.Rows = append(r.Rows, rows[i])
			odd[rows[i]] = true
			lowest, highest = math.Min(lowest, x), math.Max(highest, x)
		}
	}
	if n.inOneUnit(odd, r.Factor) {
		return nil
	}
	if n.explained(odd, rows) || ratio < 6 && n.foreseen(odd, rows) {
		return nil
	}
	least, most := math.Inf(1), math.Inf(-1) // of the others
	for _, row := range rows {
		if !odd[row] {
			least, most = math.Min(least, values[row]), math.Max(most, values[row])
		}
	}
	switch {
	case upper && lowest > most:
		r.Value = roundBetween(most, lowest)
	case !upper && highest < least:
		r.Value = roundBetween(highest, least)
	}
	return r
}

// roundBetween is the number of fewest digits about half way between two.
func roundBetween(a, b float64) float64 {
	middle := math.Sqrt(a * b)
	for digits := 1; digits < 17; digits++ {
		scale := math.Pow(10, math.Floor(math.Log10(middle))-float64(digits-1))
		if x := math.Round(middle/scale) * scale; x > a && x < b {
			return math.Round(x*1e9) / 1e9
		}
	}
	return middle
}

// inOneUnit reports whether another column, worked out of this one, has the odd values as the others.
func (n *numbers) inOneUnit(odd []bool, factor float64) bool {
	return slices.ContainsFunc(n.kind(frames.Number), func(i int) bool {
		if i == n.place || !n.columns[i].Made {
			return false
		}
		other := n.number(i)
		for k, x := range n.values {
			if odd[n.rows[k]] {
				x /= factor
			}
			if !(math.Abs(other[n.rows[k]]-x) <= 1e-6*math.Abs(x)) {
				return false
			}
		}
		return true
	})
}

// foreseen reports whether the levels of several columns together let expect the odd rows as far from the
// others as half of what they are.
func (n *numbers) foreseen(odd []bool, rows []int) bool {
	logs, _ := n.logs()
	var before, after [2][]float64 // of the others, of the odd
	for i, left := range n.expected(logs, rows).residuals {
		k := 0
		if odd[rows[i]] {
			k = 1
		}
		before[k], after[k] = append(before[k], logs[i]), append(after[k], left)
	}
	was := medianOf(n.ctx, before[1]) - medianOf(n.ctx, before[0])
	is := medianOf(n.ctx, after[1]) - medianOf(n.ctx, after[0])
	return math.Abs(is) < math.Abs(was)/2
}

// explained reports whether a column of levels tells the odd rows from the others: every level is
// nearly all of one kind, and both kinds have a level.
func (n *numbers) explained(odd []bool, rows []int) bool {
	for i := range n.columns {
		codes, levels := n.factor(i)
		if levels < 2 || levels > max(2, len(rows)/3) || i == n.place {
			continue
		}
		with, all := make([]int, levels), make([]int, levels)
		for _, row := range rows {
			if c := codes[row]; c >= 0 {
				all[c]++
				if odd[row] {
					with[c]++
				}
			}
		}
		pure, seen, any, none := 0, 0, false, false
		for c := range all {
			seen += all[c]
			pure += max(with[c], all[c]-with[c])
			any = any || all[c] > 0 && 10*with[c] >= 9*all[c]
			none = none || all[c] > 0 && 10*with[c] <= all[c]
		}
		if any && none && 20*pure >= 19*seen && 2*seen > len(rows) {
			return true
		}
	}
	return false
}
