package proofread

import (
	"cmp"
	"math"
	"slices"

	"breakbook/frames"
	"breakbook/models/parallel"
)

// mostLevels is how many different numbers a column may have to be taken as a setting.
const mostLevels = 8

// factor is a column as levels: a category, or numbers of which there are few; levels is 0 of any other.
func (t *table) factor(column int) (codes []int, levels int) {
	c := t.columns[column]
	switch {
	case c.Role == frames.Specimen:
		return nil, 0
	case c.Kind == frames.Category:
		return t.code(column), len(c.Levels)
	case c.Kind == frames.Text:
		return nil, 0
	}
	seen := map[float64]int{}
	codes = make([]int, t.rows)
	for row, x := range t.number(column) {
		parallel.LookAt(t.ctx, row)
		if codes[row] = -1; x != x {
			continue
		}
		code, met := seen[x]
		if !met {
			if code = len(seen); code == mostLevels {
				return nil, 0
			}
			seen[x] = code
		}
		codes[row] = code
	}
	if t.rows < 3*len(seen) {
		return nil, 0
	}
	return codes, len(seen)
}

// fitted are logarithms less what their groups let expect.
type fitted struct {
	residuals []float64
	sd        float64 // robust
}

// expected takes the medians of groups off logarithms, of the columns of levels that narrow them most,
// one after the other, as long as each narrows them by a twelfth.
func (n *numbers) expected(logs []float64, rows []int) fitted {
	left := slices.Clone(logs)
	middle, sd := spreadOf(n.ctx, left)
	for i := range left {
		left[i] -= middle
	}
	out := fitted{left, sd}
	room := len(logs) / 3
	used, taken := make([]bool, len(n.columns)), 0
	var chosen []int
	for range 4 {
		best, place, cost := out, -1, 0
		for i := range n.columns {
			if used[i] || i == n.place {
				continue
			}
			parallel.Look(n.ctx)
			codes, levels := n.factor(i)
			if levels < 2 || levels > room || levels > 30 {
				continue
			}
			if next := n.less(out.residuals, rows, codes, levels); next.sd < best.sd {
				best, place, cost = next, i, levels
			}
		}
		if place < 0 || best.sd > 0.92*out.sd {
			break
		}
		used[place] = true
		room -= cost
		taken += cost
		chosen = append(chosen, place)
		out = best
		for range 2 { // one after the other once more: levels are seldom met equally often
			for _, i := range chosen {
				codes, levels := n.factor(i)
				out.residuals = n.less(out.residuals, rows, codes, levels).residuals
			}
		}
		_, out.sd = spreadOf(n.ctx, out.residuals)
		out.sd *= math.Sqrt(float64(len(logs)) / float64(len(logs)-taken))
	}
	return out
}

// leastGroup is how many values a level has to have for its median to be taken off, and for one of
// them to be called a slip.
const leastGroup = 4

// less takes the median of each level off; of a level of fewer than four nothing.
func (n *numbers) less(logs []float64, rows, codes []int, levels int) fitted {
	groups := make([][]float64, levels)
	for i, row := range rows {
		if c := codes[row]; c >= 0 {
			groups[c] = append(groups[c], logs[i])
		}
	}
	middle := make([]float64, levels)
	taken := 0
	for c, g := range groups {
		if len(g) >= leastGroup {
			middle[c] = medianOf(n.ctx, g)
			taken++
		}
	}
	left := make([]float64, len(logs))
	for i, row := range rows {
		if left[i] = logs[i]; codes[row] >= 0 {
			left[i] -= middle[codes[row]]
		}
	}
	_, sd := spreadOf(n.ctx, left)
	if len(left) > taken {
		sd *= math.Sqrt(float64(len(left)) / float64(len(left)-taken))
	}
	return fitted{left, sd}
}

// levels are the numbers that a column of settings has, most frequent first; nil of a measured one: of
// a setting nearly all specimens have one of a few numbers.
func (n *numbers) levels() []float64 {
	times := map[float64]int{}
	for _, x := range n.values {
		if times[x]++; len(times) > mostLevels+2 {
			return nil
		}
	}
	var often []float64
	in := 0
	for x, k := range times {
		if k >= 3 {
			often, in = append(often, x), in+k
		}
	}
	if len(often) == 0 || 10*in < 9*len(n.values) {
		return nil
	}
	slices.SortFunc(often, func(a, b float64) int { return cmp.Or(times[b]-times[a], cmp.Compare(a, b)) })
	return often
}

// slips are the few values that lie a known ratio from what is expected of them.
func (n *numbers) slips() []Remark {
	if n.column.Unit.String() == "percent" {
		return nil // of a whole: anything up to it is as likely
	}
	if often := n.levels(); often != nil {
		return n.slipsOfLevel(often)
	}
	logs, rows := n.logs()
	if len(logs) < 8 {
		return nil
	}
	fit := n.expected(logs, rows)
	sd := math.Max(fit.sd, leastSpread) * (1 + 4/float64(len(logs)))
	small := n.smallGroup(rows)
	var all []Remark
	odd := make([]bool, len(logs))
	for i, left := range fit.residuals {
		parallel.LookAt(n.ctx, i)
		ratio, off := 0.0, math.Inf(1)
		for _, k := range n.ratios() {
			far := 6.5
			if left < 0 {
				far = 10 // joints do break at less, and never at more
			}
			if k < 6 { // as kinds of joints differ
				far *= 1.2
			}
			reach := math.Max(0.05, math.Min(4*sd, 0.35*math.Log(k)))
			if d := math.Abs(math.Abs(left) - math.Log(k)); d < reach && d < off && math.Abs(left) > far*sd {
				ratio, off = k, d
			}
		}
		if ratio == 0 || ratio < 6 && (small[rows[i]] || len(logs) < 20) {
			continue
		}
		if ratio == 9.80665 { // a single one is not told from a digit
			ratio = 10
		}
		if left < 0 {
			ratio = 1 / ratio
		}
		odd[i] = true
		x := n.number(n.place)[rows[i]]
		all = append(all, Remark{Code: Slip, Column: n.column.Name, Rows: []int{rows[i]}, Factor: ratio, Value: x,
			Should: n.rounded(x / ratio), Usual: math.Exp(logs[i] - left), Of: len(logs)})
	}
	if len(all) > max(2, len(logs)/10) {
		return nil
	}
	return slices.DeleteFunc(all, func(r Remark) bool { // not where others lie nearly as far off: they trail off then
		for i, left := range fit.residuals {
			if !odd[i] && !small[rows[i]] && math.Abs(left) > 0.65*math.Abs(math.Log(r.Value/r.Usual)) &&
				(left > 0) == (r.Factor > 1) {
				return true
			}
		}
		return false
	})
}

// smallGroup marks the rows whose level of some category is missing, or had by few others: what is usual
// for them is not known well.
func (n *numbers) smallGroup(rows []int) map[int]bool {
	small := map[int]bool{}
	for _, i := range n.kind(frames.Category) {
		if c := n.columns[i]; c.Role == frames.Specimen || c.Role == frames.Failure || coded(c.Levels) ||
			5*n.extent(i).Missing > n.table.rows || 3*len(c.Levels) > len(rows) {
			continue
		}
		codes, count := n.code(i), n.count(i)
		for _, row := range rows {
			if codes[row] < 0 || count[codes[row]] < leastGroup {
				small[row] = true
			}
		}
	}
	return small
}

// slipsOfLevel are numbers of a setting met once that are ten, a hundred or a thousand times one
// met often, and well outside of all of those.
func (n *numbers) slipsOfLevel(often []float64) (all []Remark) {
	least, most := slices.Min(often), slices.Max(often)
	times := map[float64]int{}
	for _, x := range n.values {
		times[x]++
	}
	for i, x := range n.values {
		if times[x] > max(1, len(n.values)/50) || !(x > 0) || x < 2*most && x > least/2 {
			continue
		}
		for _, usual := range often {
			for _, k := range digitSlips {
				ratio := k
				if x < usual {
					ratio = 1 / k
				}
				if math.Abs(x-usual*ratio) <= 1e-9*x {
					all = append(all, Remark{Code: Slip, Column: n.column.Name, Rows: []int{n.rows[i]}, Factor: ratio, Value: x,
						Should: usual, Usual: usual, Of: len(n.values)})
				}
			}
		}
	}
	if len(all) > max(2, len(n.values)/20) {
		return nil
	}
	return all
}

// rounded is a value with no more decimals than the column has, and one more.
func (n *numbers) rounded(x float64) float64 {
	scale := 10 / n.step()
	return clean(math.Round(x*scale) / scale)
}

// clean takes the digits off a quotient that it has by the arithmetic of floating point alone.
func clean(x float64) float64 {
	if x == 0 {
		return 0
	}
	scale := math.Pow(10, 12-math.Floor(math.Log10(math.Abs(x))))
	return math.Round(x*scale) / scale
}
