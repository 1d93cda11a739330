package proofread

import (
	"cmp"
	"math"
	"slices"

	"breakbook/frames"
	"breakbook/models/parallel"
)

// leastGroup is how many values a level has to have for its effect to be taken off, and for one of
// them to be called a slip.
const leastGroup = 4

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

// mostSpread is as widely as logarithms may lie for a tenth or ten times to be odd: two in three within
// a third to three times the middle. Kinds of joints do; probabilities and small quantities do not.
const mostSpread = 1.1

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
	if _, raw := spreadOf(n.ctx, logs); raw > mostSpread {
		return nil
	}
	fit := n.expected(logs, rows, func(frames.Column) bool { return false })
	sd := math.Max(fit.sd, leastSpread) * (1 + 4/fit.free)
	small := n.smallGroup(rows)
	var all []Remark
	odd := make([]bool, len(logs))
	for i := range logs {
		parallel.LookAt(n.ctx, i)
		residual := fit.residuals[i]
		near, wide := math.Abs(residual)-fit.unsure[i], math.Abs(residual)+fit.unsure[i]
		ratio, off := 0.0, math.Inf(1)
		for _, k := range n.ratios() {
			far := 6.5
			if residual < 0 {
				far = 10 // joints do break at less, and never at more
			}
			if k < 6 { // as kinds of joints differ
				far *= 1.2
			}
			reach := math.Max(0.05, math.Min(4*sd, 0.35*math.Log(k)))
			d := math.Abs(math.Abs(residual) - math.Log(k))
			if math.Log(k) > near-reach && math.Log(k) < wide+reach && d < off && near > far*sd {
				ratio, off = k, d
			}
		}
		if ratio == 0 || ratio < 6 && (small[rows[i]] || len(logs) < 20) {
			continue
		}
		if ratio == 9.80665 { // a single one is not told from a digit
			ratio = 10
		}
		if residual < 0 {
			ratio = 1 / ratio
		}
		odd[i] = true
		x := n.number(n.place)[rows[i]]
		all = append(all, Remark{Code: Slip, Column: n.column.Name, Rows: []int{rows[i]}, Factor: ratio, Value: x,
			Should: n.rounded(x / ratio), Usual: math.Exp(logs[i] - residual), Of: len(logs)})
	}
	if len(all) > max(2, len(logs)/10) {
		return nil
	}
	return slices.DeleteFunc(all, func(r Remark) bool { // not where others lie nearly as far off: they trail off then
		for i, residual := range fit.residuals {
			if !odd[i] && !small[rows[i]] && (residual > 0) == (r.Factor > 1) &&
				math.Abs(residual)-fit.unsure[i] > 0.65*math.Abs(math.Log(r.Value/r.Usual)) {
				return true
			}
		}
		return false
	})
}

// smallGroup marks the rows whose level of some category is had by few others: what is usual for them is
// not known well.
func (n *numbers) smallGroup(rows []int) map[int]bool {
	small := map[int]bool{}
	for _, i := range n.kind(frames.Category) {
		if c := n.columns[i]; c.Role == frames.Specimen || c.Role == frames.Failure || coded(c.Levels) ||
			5*n.extent(i).Missing > n.table.rows || 3*len(c.Levels) > len(rows) {
			continue
		}
		codes, count := n.code(i), n.count(i)
		for _, row := range rows {
			if codes[row] >= 0 && count[codes[row]] < leastGroup {
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
					all = append(all, Remark{Code: Slip, Column: n.column.Name, Rows: []int{n.rows[i]}, Factor: ratio,
						Value: x, Should: usual, Usual: usual, Of: len(n.values)})
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
