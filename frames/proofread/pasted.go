package proofread

import (
	"cmp"
	"math"
	"slices"

	"breakbook/models/parallel"
)

// alikeOfAKind is how many of the pairs of rows of one kind of joint are taken to agree in everything measured at
// most, however rough the gauge: a fine column, which any rows pasted twice have, agrees in fewer than a tenth of all.
const alikeOfAKind = 0.3

// pasted are the rows that stand below once more, in the same order and without a gap, each with its copies, where so
// long a stretch is no accident: a sheet that was entered again from some row to another. A few values that come again
// and again are none.
func (l *likeness) pasted(same [][]int) (groups [][]int) {
	if pairs(same) > 20*l.rows {
		return nil
	}
	type pair struct{ apart, first int }
	var alike []pair
	group := map[int]int{} // of a row
	for k, g := range same {
		for i, a := range g {
			group[a] = k
			for _, b := range g[i+1:] {
				alike = append(alike, pair{b - a, a})
			}
		}
	}
	parallel.SortFunc(l.ctx, alike, func(a, b pair) int { return cmp.Or(a.apart-b.apart, a.first-b.first) })
	n := float64(l.rows)
	least := int(math.Ceil(math.Log(n*n/2/sureOfDouble) / -math.Log(alikeOfAKind)))
	copies := map[int]int{} // of each row pasted, the one that it repeats
	for at := 0; at < len(alike); {
		end, kinds := at+1, map[int]bool{group[alike[at].first]: true}
		for end < len(alike) && alike[end] == (pair{alike[at].apart, alike[end-1].first + 1}) {
			kinds[group[alike[end].first]] = true
			end++
		}
		for _, p := range alike[at:end] {
			if _, known := copies[p.first+p.apart]; !known && len(kinds) >= least {
				copies[p.first+p.apart] = p.first
			}
		}
		at = end
	}
	place := map[int]int{} // of a row that is repeated: its group
	for row := range l.rows {
		first, again := copies[row]
		if !again {
			continue
		}
		for next, more := copies[first]; more; next, more = copies[first] {
			first = next
		}
		if _, met := place[first]; !met {
			place[first] = len(groups)
			groups = append(groups, []int{first})
		}
		groups[place[first]] = append(groups[place[first]], row)
	}
	slices.SortFunc(groups, slices.Compare)
	return groups
}
