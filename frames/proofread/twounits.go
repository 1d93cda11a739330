package proofread

import (
	"math"
	"slices"

	"breakbook/frames"
	"breakbook/frames/notation"
	"breakbook/models/parallel"
)

// twoUnits tells a column of two clumps that lie a known ratio apart and that no category explains.
func (n *numbers) twoUnits() *Remark {
	logs, rows := n.logs()
	if len(logs) < 8 || len(n.levels()) > 0 || n.column.Unit.String() == "percent" {
		return nil
	}
	if r := n.clumps(logs, rows); r != nil {
		return r
	}
	residuals := logs
	for i := range n.columns { // the levels of one column after the other, each less its upper clump
		codes, levels := n.factor(i)
		if i == n.place || levels < 2 || levels > max(2, len(logs)/leastGroup) {
			continue
		}
		residuals = n.lessUpper(residuals, rows, codes, levels)
		if r := n.clumps(residuals, rows); r != nil {
			return r
		}
	}
	return nil
}

// lessUpper takes the median of each level off, of a level in two clumps that of the upper one. One value is no clump,
// however often it was entered.
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
			if wide := g[i] - g[i-1]; wide > widest && len(g)-i >= max(2, len(g)/5) && g[i] < g[len(g)-1] {
				cut, widest = i, wide
			}
		}
		middle[c] = medianOf(n.ctx, g[cut:])
	}
	residuals := make([]float64, len(logs))
	for i, y := range logs {
		residuals[i] = y - middle[of(i)]
	}
	return residuals
}

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
	if few := max(3, len(sorted)/20); cut < few || len(sorted)-cut < few {
		return nil
	}
	low, below := spreadOf(n.ctx, sorted[:cut])
	high, over := spreadOf(n.ctx, sorted[cut:])
	wide := math.Max(leastSpread, math.Max(below, over))
	apart := high - low
	clear := apart >= 5*wide && gap >= 1.5*wide && gap >= 1.5*second
	if apart < 3*wide {
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
	if !clear && (ratio < 4 || !n.explained(odd, rows, batch)) || n.explained(odd, rows, notBatch) ||
		ratio < 6 && n.foreseen(odd, rows) {
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

// twoScales tells temperatures in two clumps, of which the lower one, taken for degrees Celsius, reaches as far in
// degrees Fahrenheit as the upper one does. Three settings are needed on either side, and a board, a day or one
// stretch of rows that is odd: heated joints between others lie as far by chance.
func (n *numbers) twoScales() *Remark {
	own := n.column.Unit.String()
	if own != "degC" && own != "degF" {
		return nil
	}
	sorted := slices.Clone(n.values)
	parallel.Sort(n.ctx, sorted)
	cut, gap := 0, 0.0
	for i := 1; i < len(sorted); i++ {
		if wide := sorted[i] - sorted[i-1]; wide > gap {
			cut, gap = i, wide
		}
	}
	low, high := sorted[:cut], sorted[cut:]
	if len(low) < len(sorted)/20 || len(high) < len(sorted)/20 || distinct(low) < 3 || distinct(high) < 3 {
		return nil
	}
	from, to := low[0]*1.8+32, low[cut-1]*1.8+32
	least, most := high[0], high[len(high)-1]
	reach := math.Max(2, 0.3*math.Max(most-least, to-from))
	if math.Abs(from-least) > reach || math.Abs(to-most) > reach || gap < math.Max(most-least, to-from)/2 {
		return nil
	}
	r := &Remark{Code: TwoUnits, Column: n.column.Name, Word: "°C", Value: roundBetween(low[cut-1], least)}
	if own == "degC" {
		r.Word = "°F"
	}
	odd := make([]bool, n.table.rows)
	for i, x := range n.values {
		if (x < r.Value) == (own == "degF") {
			r.Rows = append(r.Rows, n.rows[i])
			odd[n.rows[i]] = true
		}
	}
	r.Of = len(n.values) - len(r.Rows)
	if n.explained(odd, n.rows, notBatch) || !n.explained(odd, n.rows, batch) && !stretch(odd, n.rows) {
		return nil
	}
	return r
}

// distinct is how many different numbers there are among some in order.
func distinct(sorted []float64) (n int) {
	for i, x := range sorted {
		if i == 0 || x != sorted[i-1] {
			n++
		}
	}
	return n
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

// batch reports whether a column says in what lots specimens were made or tested.
func batch(c frames.Column) bool {
	return c.Role == frames.Block || notation.NamesBatch(c.Name) ||
		c.Kind == frames.Category && notation.Days(c.Name, c.Levels)
}

func notBatch(c frames.Column) bool { return !batch(c) }

// stretch reports whether the odd rows, or the others, follow one another.
func stretch(odd []bool, rows []int) bool {
	changes := 0
	for i := 1; i < len(rows); i++ {
		if odd[rows[i]] != odd[rows[i-1]] {
			changes++
		}
	}
	return changes <= 2
}

// foreseen reports whether the levels of several columns together, boards and days apart, let expect the odd rows as
// far from the others as half of what they are.
func (n *numbers) foreseen(odd []bool, rows []int) bool {
	logs, _ := n.logs()
	var before, after [2][]float64 // of the others, of the odd
	for i, residual := range n.expected(logs, rows, batch).residuals {
		k := 0
		if odd[rows[i]] {
			k = 1
		}
		before[k], after[k] = append(before[k], logs[i]), append(after[k], residual)
	}
	was := medianOf(n.ctx, before[1]) - medianOf(n.ctx, before[0])
	is := medianOf(n.ctx, after[1]) - medianOf(n.ctx, after[0])
	return math.Abs(is) < math.Abs(was)/2
}

// explained reports whether a column of levels tells the odd rows from the others: every level is
// nearly all of one kind, and both kinds have a level. Of boards and days it is no explanation: a whole day is entered
// in another unit.
func (n *numbers) explained(odd []bool, rows []int, by func(frames.Column) bool) bool {
	for i := range n.columns {
		codes, levels := n.factor(i)
		if levels < 2 || levels > max(2, len(rows)/3) || i == n.place || !by(n.columns[i]) {
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
