// Package units knows the closed list of units that break tests come in, their
// dimensions, and how one is turned into another.
package units

// Unit is one known unit, or a product of powers of known units. The zero Unit
// is "no unit" (a bare number).
type Unit struct {
	// fields are this package's own
	name string
}

// Parse reads a unit as files and people write it: kgf, kp, kg/m³, kg/m3, N/mm²,
// °C, degC, in, ", inch, %, percent. It reports false for anything else.
func Parse(s string) (Unit, bool) { return Unit{}, false }

// Word reads a unit as the bench language allows it: as Parse, but `in` is never
// a unit there, nor is a quotation mark.
func Word(s string) (Unit, bool) { return Unit{}, false }

// Known lists the canonical spelling of every unit, for help, hints and completion.
func Known() []string { return nil }

// String is the canonical spelling ("kg/m3", "degC", "kgf·mm"); "" for no unit.
func (u Unit) String() string { return u.name }

// Dimension names what it measures ("force", "length", …, "number" for no unit).
func (u Unit) Dimension() string { return "" }

// None reports whether u is no unit at all.
func (u Unit) None() bool { return u.name == "" }

// Convert turns a value in from into to. Another dimension is an *Error naming both.
func Convert(x float64, from, to Unit) (float64, error) { return x, nil }

// ConvertDifference turns a difference of two values in from into to: for
// temperatures without the shift of the zero.
func ConvertDifference(x float64, from, to Unit) (float64, error) { return x, nil }

// Mul, Div and Pow combine units; what gonum's unit calls dimensions go along.
// A temperature in degC or degF cannot be multiplied: an *Error.
func Mul(a, b Unit) (Unit, error)         { return a, nil }
func Div(a, b Unit) (Unit, error)         { return a, nil }
func Pow(a Unit, n float64) (Unit, error) { return a, nil }

// Error is a conversion or combination between units that do not fit.
type Error struct{ A, B Unit }

func (e *Error) Error() string { return "" }
