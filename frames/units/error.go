package units

import "strings"

// Error is a conversion or combination between units that do not fit.
type Error struct {
	A, B Unit

	combined bool // multiplied, divided or raised, not converted
}

// Error is one sentence that names both units and what they measure.
func (e *Error) Error() string {
	if e.combined {
		for _, u := range []Unit{e.A, e.B} {
			if u.Dimension() == "temperature" {
				return u.name + " counts from a zero of its own and cannot be multiplied, divided or raised"
			}
		}
		if e.B.None() {
			return "no unit is that power of " + e.A.name
		}
		return "no unit is made of " + e.A.name + " and " + e.B.name
	}
	return e.A.described() + " and " + e.B.described()
}

// described is "mm is a length", "a bare number has no unit", "N·m3/kg is a unit of its own".
func (u Unit) described() string {
	d := u.Dimension()
	switch {
	case u.None():
		return "a bare number has no unit"
	case d == u.name && d != "percent":
		return u.name + " is a unit of its own"
	case d == "percent":
		return "percent is a share of a hundred"
	case strings.ContainsRune("aeiou", rune(d[0])):
		return u.name + " is an " + d
	}
	return u.name + " is a " + d
}
