package proofread

import (
	"slices"
	"strings"

	"breakbook/frames"
	"breakbook/frames/notation"
	"breakbook/models/parallel"
)

// dated reports whether words are dates, all of them.
func (t *table) dated(words []string) bool {
	if t.f.DateOrder() == notation.NoDates || len(words) == 0 {
		return false
	}
	return !slices.ContainsFunc(words, func(w string) bool { _, ok := notation.Date(w, t.f.DateOrder()); return !ok })
}

// dates finds the one or few dates that are out of order in a column that is otherwise in order.
func dates(t *table) (all []Remark) {
	if t.quick || t.f.DateOrder() == notation.NoDates {
		return nil
	}
	for _, c := range t.columns {
		if c.Kind == frames.Number || c.Kind == frames.Category && !t.dated(c.Levels) {
			continue
		}
		var keys []float64
		var rows []int
		for row := range t.rows {
			parallel.LookAt(t.ctx, row)
			cell, there := t.f.Cell(c.Name, row)
			if !there || t.out[row] {
				continue
			}
			key, ok := notation.Date(cell, t.f.DateOrder())
			if !ok {
				keys = nil
				break
			}
			keys, rows = append(keys, key), append(rows, row)
		}
		if len(keys) < 8 || slices.Max(keys) == slices.Min(keys) {
			continue
		}
		out := outOfOrder(keys)
		if len(out) == 0 || len(out) > max(1, len(keys)/20) {
			continue
		}
		for _, i := range out {
			word, _ := t.f.Cell(c.Name, rows[i])
			r := Remark{Code: DateOrder, Column: c.Name, Rows: []int{rows[i]}, Word: word, Of: len(keys)}
			low, high := bounds(keys, out, i)
			r.Meant = meantDate(word, t.f.DateOrder(), low, high)
			all = append(all, r)
		}
	}
	return all
}

// outOfOrder are the places of what has to go for the rest to rise, as few as there can be: what is not
// in the longest rising run of places (by patience: M. L. Fredman, On computing the length of longest
// increasing subsequences, Discrete Mathematics 11 (1975), 29–35).
func outOfOrder(keys []float64) (out []int) {
	var tails []int // the place of the smallest end of a run of each length
	before := make([]int, len(keys))
	for i, key := range keys {
		at, _ := slices.BinarySearchFunc(tails, key, func(tail int, key float64) int {
			if keys[tail] <= key {
				return -1
			}
			return 1
		})
		before[i] = -1
		if at > 0 {
			before[i] = tails[at-1]
		}
		if at == len(tails) {
			tails = append(tails, i)
		} else {
			tails[at] = i
		}
	}
	in := make([]bool, len(keys))
	for i := tails[len(tails)-1]; i >= 0; i = before[i] {
		in[i] = true
	}
	for i := range keys {
		if !in[i] {
			out = append(out, i)
		}
	}
	return out
}

// bounds are the nearest keys in order before and after a place.
func bounds(keys []float64, out []int, at int) (low, high float64) {
	low, high = slices.Min(keys), slices.Max(keys)
	for i := at - 1; i >= 0; i-- {
		if !slices.Contains(out, i) {
			low = keys[i]
			break
		}
	}
	for i := at + 1; i < len(keys); i++ {
		if !slices.Contains(out, i) {
			high = keys[i]
			break
		}
	}
	return low, high
}

// meantDate is the date that fits between two others with day and month exchanged, or with the year
// before or after; "" where none does, or several.
func meantDate(word string, o notation.DateOrder, low, high float64) string {
	mark := strings.IndexAny(word, "-./")
	if mark < 0 {
		return ""
	}
	sign := word[mark : mark+1]
	parts := strings.SplitN(word, sign, 3)
	if len(parts) != 3 {
		return ""
	}
	year, one, other := 2, 0, 1
	if len(parts[0]) == 4 || o == notation.YearFirst {
		year, one, other = 0, 1, 2
	}
	var fit []string
	try := func(p []string) {
		w := strings.Join(p, sign)
		if key, ok := notation.Date(w, o); ok && key >= low && key <= high && w != word && !slices.Contains(fit, w) {
			fit = append(fit, w)
		}
	}
	swapped := slices.Clone(parts)
	swapped[one], swapped[other] = swapped[other], swapped[one]
	try(swapped)
	for _, by := range []int{-1, 1} {
		moved := slices.Clone(parts)
		if y, ok := shifted(parts[year], by); ok {
			moved[year] = y
			try(moved)
		}
	}
	if len(fit) != 1 {
		return ""
	}
	return fit[0]
}

// shifted is a year of two or four digits moved by one.
func shifted(year string, by int) (string, bool) {
	if len(year) != 4 && len(year) != 2 || strings.Trim(year, "0123456789") != "" {
		return "", false
	}
	n := 0
	for _, d := range year {
		n = 10*n + int(d-'0')
	}
	n += by
	out := ""
	for range len(year) {
		out = string(rune('0'+n%10)) + out
		n /= 10
	}
	return out, n == 0
}
