package typed

import (
	"fmt"
	"math"
	"slices"

	"breakbook/repl/page"
)

// Rows picks the columns with the given ids, in that order, from a table of an entry.
func Rows(e page.Entry, table string, columns ...string) ([][]page.Cell, error) {
	at := slices.IndexFunc(e.Tables, func(t page.Table) bool { return t.ID == table })
	if at < 0 {
		return nil, fmt.Errorf("%s gave no table %s", e.Input, table)
	}
	rows := Columns(e.Tables[at], columns...)
	if rows == nil {
		return nil, fmt.Errorf("the table %s lacks one of the columns %q", table, columns)
	}
	return rows, nil
}

// Columns are those of a table with the given ids, in that order, row by row; nil where it lacks one of them.
func Columns(t page.Table, ids ...string) [][]page.Cell {
	rows := make([][]page.Cell, len(t.Rows))
	for _, id := range ids {
		at := slices.IndexFunc(t.Columns, func(c page.Column) bool { return c.ID == id })
		if at < 0 {
			return nil
		}
		for i, row := range t.Rows {
			rows[i] = append(rows[i], row[at])
		}
	}
	return rows
}

// Value is a value of an entry, NaN where it has none.
func Value(e page.Entry, id string) page.Cell {
	at := slices.IndexFunc(e.Values, func(v page.Value) bool { return v.ID == id })
	if at < 0 {
		return page.Cell{Num: math.NaN()}
	}
	return e.Values[at].Cell
}
