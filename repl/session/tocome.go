package session

import (
	"cmp"
	"slices"

	"breakbook/frames"
	"breakbook/models/lists"
)

// spoiledShare is one in how many broken specimens of a test sheet may be spoiled at most. With more empty lines
// among those filled in, the sheet was not worked through in its order, and none of them is taken as spoiled.
const spoiledShare = 5

// ToCome marks the rows of a test sheet that are not broken yet: neither their load nor how they failed is filled
// in, they are not set aside, and all that are broken come before them in the order of testing; a few empty lines among
// those are specimens that spoiled. Nil where the series is no test sheet, or marks no such column.
func ToCome(f *frames.Frame) (waits []bool, spoiled int) {
	if r := f.Reading(); r == nil || !r.ToFill {
		return nil, 0
	}
	empty := unbroken(f)
	if empty == nil {
		return nil, 0
	}
	inOrder := testingOrder(f)
	last, broken := -1, 0
	for at, row := range inOrder {
		if !empty[row] {
			last, broken = at, broken+1
		}
	}
	among := lists.Where(inOrder[:last+1], func(row int) bool { return empty[row] })
	if len(among)*spoiledShare <= broken {
		for _, row := range among {
			empty[row] = false
		}
		spoiled = len(among)
	}
	for row := range empty {
		if _, aside := f.Aside(row); aside {
			empty[row] = false
		}
	}
	return empty, spoiled
}

// unbroken marks the rows in which neither load nor failure is filled in; nil where neither is marked.
func unbroken(f *frames.Frame) []bool {
	var out []bool
	for _, role := range []frames.Role{frames.Load, frames.Failure} {
		c, ok := f.RoleColumn(role)
		if !ok {
			continue
		}
		missing, err := f.MissingIn(c.Name)
		switch {
		case err != nil:
			return nil
		case out == nil:
			out = missing
			continue
		}
		for row, gone := range missing {
			out[row] = out[row] && gone
		}
	}
	return out
}

// testingOrder is the rows in the order of testing: by the column marked so, else as they stand.
func testingOrder(f *frames.Frame) []int {
	rows := AllRows(f.Len())
	c, ok := f.RoleColumn(frames.Order)
	if !ok {
		return rows
	}
	order, err := f.Numbers(c.Name)
	if err != nil {
		return rows
	}
	slices.SortStableFunc(rows, func(a, b int) int { return cmp.Compare(order[a], order[b]) })
	return rows
}
