package session

import (
	"breakbook/frames"
)

// ToCome marks the rows of a test sheet that are not broken yet: neither their load nor how they failed is filled
// in, and they are not set aside. Nil where the series is no test sheet, or marks no such column.
func ToCome(f *frames.Frame) []bool {
	r := f.Reading()
	if r == nil || !r.ToFill {
		return nil
	}
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
	for row := range out {
		if _, aside := f.Aside(row); aside {
			out[row] = false
		}
	}
	return out
}
