package render

import (
	"slices"

	"breakbook/repl/page"
)

// readFirst is a table for a page: the columns that one reads first, the answer straight after the number that
// it is about, and beside it the columns that stand behind a fold, led by those that name a row. What a narrow
// terminal leaves out first is what one reads last; rest has no columns where there is nothing of that.
func readFirst(t page.Table) (first, rest page.Table) {
	var order, folded []int
	for c, col := range t.Columns {
		if col.Wide && c > 0 {
			folded = append(folded, c)
		} else {
			order = append(order, c)
		}
	}
	estimate := slices.IndexFunc(order, func(c int) bool { return estimates(t, c) })
	answer := slices.IndexFunc(order, func(c int) bool { return t.Columns[c].ID == "answer" })
	if estimate >= 0 && answer >= 0 {
		moved := order[answer]
		order = slices.Delete(order, answer, answer+1)
		if answer < estimate {
			estimate--
		}
		order = slices.Insert(order, estimate+1, moved)
	}
	first = withColumns(t, order)
	if len(folded) == 0 {
		return first, page.Table{}
	}
	first.Note = nil // which may explain columns of the rest
	naming := 0
	for naming < len(order) && !numbers(t, order[naming]) && t.Columns[order[naming]].ID != "answer" {
		naming++
	}
	rest = withColumns(t, append(slices.Clone(order[:min(naming, mostNaming)]), folded...))
	rest.Title = nil
	return first, rest
}

// mostNaming is how many columns of words stand before those behind the fold, to name their rows.
const mostNaming = 3

// estimates reports whether a column holds the number that an answer is about: the first that is neither a count
// nor a probability.
func estimates(t page.Table, c int) bool {
	style := t.Columns[c].Style
	return style != page.Count && style != page.P && style != page.DF && numbers(t, c)
}

// numbers reports whether a column holds numbers.
func numbers(t page.Table, c int) bool {
	return slices.ContainsFunc(t.Rows, func(row []page.Cell) bool { return cell(row, c).Kind == page.Number })
}

// withColumns is the table with some of its columns, in that order.
func withColumns(t page.Table, order []int) page.Table {
	out := t
	out.Columns, out.Rows = make([]page.Column, len(order)), make([][]page.Cell, len(t.Rows))
	for i, c := range order {
		out.Columns[i] = t.Columns[c]
	}
	for r, row := range t.Rows {
		out.Rows[r] = make([]page.Cell, len(order))
		for i, c := range order {
			out.Rows[r][i] = cell(row, c)
		}
	}
	return out
}
